"""`coatwright`: the commands, and what any error of ours looks like on the command line."""

import codecs
import sys
from collections.abc import Sequence
from typing import NoReturn

import typer

from coatwright.errors import CoatwrightError
from coatwright.faces.cli import codes
from coatwright.faces.cli.app import app
from coatwright.faces.cli.commands import (  # noqa: F401 - each hangs itself on the application
    check,
    explain,
    may,
    mix,
    plan,
    recipe,
    routes,
    schema,
    serve,
    sheets,
    start,
)
from coatwright.faces.cli.noting import card, cause, note, record  # noqa: F401 - likewise
from coatwright.faces.cli.outlook import air, day, today, windows  # noqa: F401 - likewise
from coatwright.faces.cli.printing import paper  # noqa: F401 - likewise

_ASCII = {"µ": "u", "²": "2", "³": "3", "°": "deg ", "–": "-", "−": "-", "×": "x", "·": "."}


def run(arguments: Sequence[str] | None = None) -> NoReturn:
    """Run the command line and leave with its exit code; an error of ours is one sentence."""
    _speak_plainly()
    given = list(sys.argv[1:] if arguments is None else arguments)
    try:
        app(args=given, prog_name="coatwright")
    except CoatwrightError as error:
        raise SystemExit(_told(error, "--json" in given)) from None
    raise SystemExit(codes.FINE)


def _told(error: CoatwrightError, as_json: bool) -> int:
    code = codes.code_for(error)
    typer.echo(error.sentence, err=True)
    if as_json:
        from coatwright.faces.cli.machine import error_json

        typer.echo(error_json(error, code))
    return code


def _speak_plainly() -> None:
    """On a terminal that cannot show µ or ², write um and m2 instead of failing."""
    codecs.register_error("coatwright", _spelled)
    for stream in (sys.stdout, sys.stderr):
        if hasattr(stream, "reconfigure"):
            stream.reconfigure(errors="coatwright")


def _spelled(fault: UnicodeError) -> tuple[str, int]:
    if not isinstance(fault, UnicodeEncodeError):
        raise fault
    letters = fault.object[fault.start : fault.end]
    return "".join(_ASCII.get(letter, "?") for letter in letters), fault.end
