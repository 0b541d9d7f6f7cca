"""The import contracts hold, and each of them refuses a deliberate breach."""

import os
import re
import shutil
import subprocess
import sys
from pathlib import Path

import pytest

from house import source

LAYERS = "Layers point one way"
APART = "No engine knows another"
PURE = "Engines are pure functions on floats"
MODEL = "The model opens no files and draws nothing"
KERNELS = "Only engines compile kernels and call the libraries of their field"
SOLVER = "Only the timetable calls the constraint solver"
STORE = "Only the record speaks SQL"
PAPERS = "Only the papers set type and draw codes"
WEB = "Only the web face serves"
FACES = "Faces share only drawing and format"

# (new module, what it imports, the contract that must refuse it)
BREACHES = [
    ("model/breach.py", "import coatwright.planning.plan", LAYERS),
    ("model/breach.py", "import coatwright.engines.spray", LAYERS),
    ("engines/spray/breach.py", "import coatwright.model.job", LAYERS),
    ("intake/breach.py", "import coatwright.planning.plan", LAYERS),
    ("intake/breach.py", "import coatwright.actions", LAYERS),
    ("planning/breach.py", "import coatwright.intake", LAYERS),
    ("planning/breach.py", "import coatwright.faces", LAYERS),
    ("actions/breach.py", "import coatwright.faces", LAYERS),
    ("breach.py", "", LAYERS),
    ("toolbox/__init__.py", "", LAYERS),
    ("engines/film/breach.py", "import coatwright.engines.spray.footprint", APART),
    ("engines/film/breach.py", "import coatwright.units", PURE),
    ("engines/film/breach.py", "import coatwright.figures", PURE),
    ("engines/film/breach.py", "import pydantic", PURE),
    ("engines/film/breach.py", "from pathlib import Path", PURE),
    ("model/breach.py", "import tomllib", MODEL),
    ("model/breach.py", "from pathlib import Path", MODEL),
    ("model/breach.py", "import numba", MODEL),
    ("planning/breach.py", "import numba", KERNELS),
    ("planning/breach.py", "import psychrolib", KERNELS),
    ("planning/breach.py", "from ortools.sat.python import cp_model", SOLVER),
    ("engines/film/breach.py", "import ortools", SOLVER),
    ("planning/breach.py", "import coatwright.record.events", LAYERS),
    ("record/breach.py", "import coatwright.planning.plan", LAYERS),
    ("actions/breach.py", "import sqlalchemy", STORE),
    ("faces/cli/breach.py", "from alembic import command", STORE),
    ("faces/html/breach.py", "import typst", PAPERS),
    ("faces/papers/breach.py", "import coatwright.faces.web.view", FACES),
    ("actions/breach.py", "import segno", PAPERS),
    ("actions/breach.py", "from starlette.requests import Request", WEB),
    ("faces/cli/breach.py", "import uvicorn", WEB),
    ("faces/web/breach.py", "import coatwright.faces.html.page", FACES),
    ("faces/drawing/breach.py", "import coatwright.faces.cli.main", FACES),
    ("faces/drawing/breach.py", "import coatwright.faces.html.page", FACES),
    ("faces/html/breach.py", "import coatwright.faces.cli.output", FACES),
    ("faces/toolbox.py", "", FACES),
]


def broken_contracts(tree: Path) -> set[str]:
    """Names of the contracts that the package under tree breaks."""
    result = subprocess.run(
        [Path(sys.executable).with_name("lint-imports"), "--no-cache"],
        cwd=tree,
        env={**os.environ, "PYTHONPATH": str(tree / "src")},
        capture_output=True,
        text=True,
        check=False,
    )
    broken = set(re.findall(r"^(.+?) BROKEN", result.stdout, re.MULTILINE))
    assert "Analyzed" in result.stdout, result.stdout + result.stderr
    assert bool(broken) == (result.returncode != 0), result.stdout + result.stderr
    return broken


@pytest.fixture
def tree(tmp_path):
    shutil.copytree(
        source.ROOT / "src", tmp_path / "src", ignore=shutil.ignore_patterns("__pycache__", "data")
    )
    shutil.copy(source.ROOT / ".importlinter", tmp_path)
    return tmp_path


def test_kept(tree):
    assert broken_contracts(tree) == set()


@pytest.mark.parametrize(("module", "line", "contract"), BREACHES)
def test_breach_is_refused(tree, module, line, contract):
    file = tree / "src" / "coatwright" / module
    file.parent.mkdir(exist_ok=True)
    file.write_text(f"{line}\n")
    assert contract in broken_contracts(tree)
