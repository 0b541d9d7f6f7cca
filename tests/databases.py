"""Databases for the tests of the record: a SQLite file, and a PostgreSQL server of their own."""

import atexit
import os
import pwd
import shutil
import subprocess
import tempfile
from contextlib import closing
from functools import cache
from itertools import count
from pathlib import Path

import pytest

from coatwright.record.store.ledger import Record

_NUMBERS = count(1)
_MISSING = (
    "there is no PostgreSQL server on this machine (Debian, Ubuntu: apt-get install postgresql), "
    "so the record was not tested on it"
)


def _programs() -> Path | None:
    """Where initdb and postgres lie; Debian keeps them out of the path."""
    found = shutil.which("initdb")
    if found:
        return Path(found).resolve().parent
    kept = sorted(Path("/usr/lib/postgresql").glob("*/bin/initdb"))
    return kept[-1].parent if kept else None


def _nobody() -> dict[str, object]:
    """PostgreSQL refuses to run as root; then it runs as the user its package made."""
    if os.geteuid() != 0:
        return {}
    names = [one.pw_name for one in pwd.getpwall()]
    user = "postgres" if "postgres" in names else "nobody"
    return {"user": user, "group": pwd.getpwnam(user).pw_gid, "extra_groups": []}


@cache
def server() -> Path | None:
    """The folder with the socket of a server that lives until the tests end, if one can."""
    programs = _programs()
    if programs is None:
        return None
    folder = Path(tempfile.mkdtemp(prefix="coatwright-pg-"))
    user = _nobody()
    if user:
        shutil.chown(folder, user["user"], user["group"])
    data = folder / "data"
    made = [programs / "initdb", "-D", data, "-U", "tester", "-A", "trust", "-E", "UTF8"]
    subprocess.run(
        [*made, "--locale=C", "--no-sync"], check=True, capture_output=True, cwd=folder, **user
    )
    # No port: the socket in the folder is the only door.
    start = [programs / "pg_ctl", "-D", data, "-w", "-l", folder / "log", "start", "-o"]
    options = f"-k {folder} -c listen_addresses=''"
    subprocess.run([*start, options], check=True, stdout=subprocess.DEVNULL, cwd=folder, **user)
    atexit.register(_stop, programs, folder, user)
    return folder


def _stop(programs: Path, folder: Path, user: dict[str, object]) -> None:
    stop = [programs / "pg_ctl", "-D", folder / "data", "-m", "immediate", "stop"]
    subprocess.run(stop, check=False, capture_output=True, cwd=folder, **user)
    shutil.rmtree(folder, ignore_errors=True)


def new_postgresql() -> str:
    """Address of a fresh, empty database; the test is left out, or under CI fails, without one."""
    folder = server()
    if folder is None and os.environ.get("CI"):
        pytest.fail(_MISSING)
    if folder is None:
        pytest.skip(_MISSING)
    import psycopg

    name = f"record_{next(_NUMBERS)}"
    door = f"host={folder} user=tester dbname=postgres"
    with closing(psycopg.connect(door, autocommit=True)) as connection:
        connection.execute(f"CREATE DATABASE {name}")
    return f"postgresql://tester@/{name}?host={folder}"


@pytest.fixture(params=["sqlite", "postgresql"])
def url(request, tmp_path):
    """Address of an empty database, of each kind in turn."""
    return f"sqlite:///{tmp_path}/record.db" if request.param == "sqlite" else new_postgresql()


@pytest.fixture
def record(url, tmp_path):
    """An empty record."""
    with Record(url, tmp_path / "files") as made:
        yield made
