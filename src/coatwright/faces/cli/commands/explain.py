"""coatwright explain."""

from typing import TYPE_CHECKING, Annotated

import typer

from coatwright.faces.cli import options
from coatwright.faces.cli.app import app
from coatwright.faces.format import BASIS_WORDS, Words

if TYPE_CHECKING:
    from coatwright.actions.explain import Explanation
    from coatwright.faces.cli.output import Printer

Address = Annotated[
    list[str] | None,
    typer.Argument(
        metavar="[FIGURE]...", help="Address of a figure, or words of it; all if left out."
    ),
]
Depth = Annotated[
    int, typer.Option("--depth", min=0, max=12, help="How many levels of inputs to show.")
]


DAYS = 4.0
"""Seconds for which days of work are looked for when one of their figures is asked for."""


@app.command(short_help="Say where a figure comes from.")
def explain(
    job: options.Job,
    figure: Address = None,
    depth: Depth = 4,
    weather: options.Weather = None,
    json: options.Json = False,
    units: options.UnitsOption = options.Units.metric,
) -> None:
    """Say where any figure of the plan comes from.

    Shows its formula, the figures it was computed from, their formulas in turn, the source of
    each, and the range it may fall in. Give the address as the HTML page and --json show it, or
    a few words of it: if several figures fit they are listed. Give --weather again to ask of a
    plan made with it.

    \b
    Examples:
      coatwright explain demo cost.total
      coatwright explain demo bay-strips epoxy fluid
      coatwright explain demo run chance
      coatwright explain demo air_card primer-gun wall
      coatwright explain demo day waiting

    \b
    Exit codes:
      0  fine
      3  the file cannot be read, or has faults; all are listed
      4  no figure like that
    """
    from coatwright.actions import plans
    from coatwright.actions.explain import explain as explained
    from coatwright.actions.explain import matches

    of_the_days = (figure or [""])[0].split(".")[0] == "day"
    plan = plans.plan_job(job, None, options.path_of(weather), DAYS if of_the_days else None)
    words = Words(units.value, plan.currency)
    found = matches(plan, " ".join(figure or []))
    told = [explained(plan, found[0][0], depth)] if len(found) == 1 else []
    if json:
        from coatwright.faces.arranged.machine import as_json

        typer.echo(as_json(told or dict(found), words))
        return
    from coatwright.faces.cli.output import Printer

    out = Printer(words)
    if told:
        _tell(told[0], out, 0)
    else:
        rows = ((name, words.text(one)) for name, one in found)
        out.table(("address", "figure"), rows, keep=1)


def _tell(one: "Explanation", out: "Printer", level: int) -> None:
    figure = one.figure
    out.say(f"{one.address if not level else one.address.rpartition('.')[2]}: "
            f"{out.words.text(figure)}", level * 2, 2)  # fmt: skip
    how = BASIS_WORDS[figure.basis] + (f": {figure.formula}" if figure.formula else "")
    out.say(how, level * 2 + 2, 2)
    if figure.spread:
        out.say(f"range: {figure.spread_note or '10 and 90 % points'}", level * 2 + 2, 2)
    source = one.citation
    kind = ", ".join(part for part in (source.kind, source.read) if part)
    out.say(f"source: {source.text}" + (f" ({kind})" if kind else ""), level * 2 + 2, 2)
    for name, value in one.inputs:
        if isinstance(value, str):
            out.say(f"{name}: {value}", level * 2 + 4, 2)
        else:
            _tell(value, out, level + 2)
