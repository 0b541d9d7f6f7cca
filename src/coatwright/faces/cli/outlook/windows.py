"""coatwright windows."""

from typing import TYPE_CHECKING, Annotated

import typer

from coatwright.faces.cli import options
from coatwright.faces.cli.app import app
from coatwright.faces.format import Words

if TYPE_CHECKING:
    from coatwright.faces.cli.output import Printer
    from coatwright.planning.conditions.window_plan import Window
    from coatwright.planning.plan import Plan

First = Annotated[
    int,
    typer.Option("--first", metavar="N", min=0, help="Print so many; 0 for all of them."),
]


@app.command(short_help="Rank the recoat windows by what lapses next.")
def windows(
    job: options.Job,
    area: options.AreaOption = None,
    first: First = 12,
    weather: options.Weather = None,
    json: options.Json = False,
    units: options.UnitsOption = options.Units.metric,
) -> None:
    """Rank the recoat windows of a job: what lapses next, and what that would take.

    For every area and layer: when the next layer may go on, when that is best, and when it is
    too late; each layer laid as soon as the one below it opens, at this climate, the metal's own
    temperature and the film really laid, not at the sheet's 20 degC. Behind each stands what it
    takes once it has closed: work, paint, money.

    With --weather the times are clock times of that table; without it they count from the
    first coat, at the shop's usual climate.

    \b
    Examples:
      coatwright windows demo
      coatwright windows demo --area bonnet --first 0
      coatwright windows roadster.toml --weather tomorrow.csv

    \b
    Exit codes:
      0  fine
      3  a file cannot be read, or has faults; all are listed
      4  no such area; the plan says nothing of windows
    """
    from coatwright.actions import plans
    from coatwright.faces.arranged.outlook import outlook_of

    made = plans.plan_job(job, area, options.path_of(weather))
    outlook = outlook_of(made)
    words = Words(units.value, made.currency)
    if json:
        from coatwright.faces.arranged.machine import as_json

        typer.echo(as_json(outlook.windows, words))
        return
    from coatwright.faces.cli.output import Printer

    _tell(made, outlook.windows.windows, first, Printer(words))


def _tell(made: "Plan", found: "tuple[Window, ...]", first: int, out: "Printer") -> None:
    from coatwright.faces.arranged.outlook import spot_titles
    from coatwright.faces.drawing.windows import place, when

    titles = spot_titles(made)
    start = made.outlook.windows.start if made.outlook else ""
    shown = found[: first or None]
    out.heading(f"What lapses next: {len(shown)} of {len(found)} windows")
    out.table(
        ("layer", "laid", "opens", "best", "closes"),
        (
            (_named(one, place(one, titles)), *(when(one, which, out.words) for which in range(4)))
            for one in shown
        ),
        keep=None,
    )
    if not start:
        out.say("Times count from the first coat; give a table of weather for clock times.")
    out.heading("What it takes once it has closed")
    for text in dict.fromkeys(_lapse(one, place(one, titles), out.words) for one in shown):
        out.say(f"- {text}", 2, 2)
    if made.outlook and made.outlook.windows.notes:
        out.heading("Take care")
        out.listed(made.outlook.windows.notes)
    out.say("The sheet of the tin decides; a window that is open says nothing of the ground.")


def _named(window: "Window", place: str) -> str:
    return place + (" (closes before it opens)" if window.shut else "")


def _lapse(window: "Window", place: str, words: Words) -> str:
    lapse = window.lapse
    if lapse is None or window.closes is None:
        return f"{place}: its sheet sets no limit"
    paint = f", {words.brief(lapse.paint)}" if lapse.paint.value else ""
    wait = f", and {words.brief(lapse.wait)} of waiting" if lapse.wait.value else ""
    return (
        f"{place}: {lapse.text}: {words.brief(lapse.hours)}{paint}, "
        f"{words.brief(lapse.money)}{wait}"
    )
