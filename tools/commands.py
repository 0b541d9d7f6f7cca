"""Write docs/command-line.md: every help page of the command line, as it is printed.

usage: python tools/commands.py; tests/faces/test_manual.py compares.
"""

from pathlib import Path

from typer.testing import CliRunner

from coatwright.faces.cli.app import COMMANDS
from coatwright.faces.cli.main import app

PAGE = Path(__file__).resolve().parents[1] / "docs" / "command-line.md"
_HEAD = """# Command line

<!-- Made by `python tools/commands.py` from the help pages; change those, not this page. -->

What `coatwright --help` and the help page of each command print.
"""


def manual() -> str:
    """The whole page."""
    parts = [_HEAD, _section("coatwright", ())]
    parts += [_section(f"coatwright {name}", (name,)) for name in COMMANDS]
    return "\n".join(parts)


def _section(title: str, arguments: tuple[str, ...]) -> str:
    told = CliRunner().invoke(
        app, [*arguments, "--help"], prog_name="coatwright", env={"COLUMNS": "80"}
    )
    if told.exit_code != 0:
        raise SystemExit(told.output)
    lines = [line.rstrip() for line in told.output.strip().splitlines()]
    return f"## {title}\n\n```text\n" + "\n".join(lines) + "\n```\n"


if __name__ == "__main__":
    PAGE.write_text(manual(), encoding="utf-8")
