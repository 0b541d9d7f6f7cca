"""coatwright routes."""

from typing import TYPE_CHECKING

import typer

from coatwright.faces.cli import options
from coatwright.faces.cli.app import app
from coatwright.faces.format import Words

if TYPE_CHECKING:
    from coatwright.faces.cli.output import Printer
    from coatwright.planning.plan import Route

_ABREAST = 3


@app.command(short_help="Lay the possible systems of a patch side by side.")
def routes(
    job: options.Job,
    area: options.AreaKey,
    patch: options.PatchKey = None,
    json: options.Json = False,
    units: options.UnitsOption = options.Units.metric,
) -> None:
    """Lay the possible paint systems of a patch side by side.

    For each: the layers, total film, days, cost, the steps before and between, and what the
    rules of the trade say for and against it. The first is the one the rules would choose.

    \b
    Examples:
      coatwright routes demo bay-strips
      coatwright routes roadster.toml sill filler --json

    \b
    Exit codes:
      0  fine
      3  the file cannot be read, or has faults; all are listed
      4  no such area or patch
      5  no system fits the patch
    """
    from coatwright.actions import plans

    found = plans.routes_for(job, area, patch)
    words = Words(units.value)
    if json:
        from coatwright.faces.arranged.machine import as_json

        typer.echo(as_json(found, words))
        return
    from coatwright.faces.cli.output import Printer

    _tell(found, Printer(words))


def _tell(found: "tuple[Route, ...]", out: "Printer") -> None:
    for start in range(0, len(found), _ABREAST):
        group = found[start : start + _ABREAST]
        heads = [f"{start + index}. {one.title}" for index, one in enumerate(group, start=1)]
        out.say("")
        out.table(("", *heads), _rows(group, out.words))
    for index, one in enumerate(found, start=1):
        if one.findings or one.steps:
            out.heading(f"{index}. {one.title}")
        out.listed(step.text for step in one.steps)
        for finding in one.findings:
            out.finding(finding, 2)


def _rows(group: "tuple[Route, ...]", words: Words) -> list[tuple[str, ...]]:
    return [
        ("layers", *(", ".join(one.products) for one in group)),
        ("possible", *("yes" if one.possible else "ruled out" for one in group)),
        ("film", *(words.text(one.film) for one in group)),
        ("days", *(words.brief(one.days) for one in group)),
        ("cost", *(words.text(one.money) for one in group)),
        ("in short", *(one.summary for one in group)),
    ]
