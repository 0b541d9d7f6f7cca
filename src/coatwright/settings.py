"""What a workshop can set: each with its name, its default and what it is for.

Read from a settings file of `name = "value"` lines and, before it, from the environment:
COATWRIGHT_ and the name in capitals. The file is COATWRIGHT_SETTINGS, or settings.toml in the
folder coatwright of the user's configuration.
"""

import os
import tomllib
from collections.abc import Mapping
from dataclasses import dataclass
from pathlib import Path
from typing import Final, NamedTuple

from coatwright.errors import InputError

_PREFIX: Final = "COATWRIGHT_"


class Setting(NamedTuple):
    """One thing that can be set; default "" is told in the help."""

    name: str
    default: str
    help: str


SETTINGS: Final = (
    Setting(
        "record", "", "Folder the record and its attached files are kept in; if not set, the "
        "folder coatwright of the user's data.",
    ),
    Setting(
        "database", "", "Address of the record's database: sqlite:///file.db or "
        "postgresql://name@host/database; if not set, record.db in the folder of the record.",
    ),
    Setting("who", "", "Who notes things on this machine, if nobody is named."),
)  # fmt: skip


@dataclass(frozen=True)
class Settings:
    """What holds on this machine."""

    record: Path
    database: str
    who: str


def load(environment: Mapping[str, str] | None = None) -> Settings:
    """The settings of this machine. Raises InputError for a file that cannot be understood."""
    environ = os.environ if environment is None else environment
    given = {one.name: one.default for one in SETTINGS}
    given |= _from_file(_file(environ))
    for one in SETTINGS:
        given[one.name] = environ.get(_PREFIX + one.name.upper()) or given[one.name]
    folder = Path(given["record"]) if given["record"] else _home(environ, "DATA") / "coatwright"
    folder = folder.expanduser().absolute()
    return Settings(folder, given["database"] or f"sqlite:///{folder / 'record.db'}", given["who"])


def _file(environ: Mapping[str, str]) -> Path:
    named = environ.get(_PREFIX + "SETTINGS")
    return Path(named) if named else _home(environ, "CONFIG") / "coatwright" / "settings.toml"


def _home(environ: Mapping[str, str], what: str) -> Path:
    """Where a user's data or configuration lies (XDG Base Directory Specification)."""
    named = environ.get(f"XDG_{what}_HOME")
    usual = {"DATA": Path.home() / ".local" / "share", "CONFIG": Path.home() / ".config"}
    return Path(named) if named else usual[what]


def _from_file(file: Path) -> dict[str, str]:
    try:
        read = tomllib.loads(file.read_text("utf-8"))
    except FileNotFoundError:
        return {}
    except (OSError, UnicodeDecodeError, tomllib.TOMLDecodeError) as fault:
        raise InputError(f"the settings cannot be read: {fault}", file=str(file)) from fault
    known = [one.name for one in SETTINGS]
    for name, value in read.items():
        if name not in known:
            raise InputError(
                f"there is no setting '{name}'",
                file=str(file),
                instead=f"there are {', '.join(known)}",
            )
        if not isinstance(value, str):
            raise InputError("a setting is text in quotes", file=str(file), field=name)
    return read
