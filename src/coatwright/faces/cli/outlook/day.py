"""coatwright day."""

from datetime import date, datetime
from pathlib import Path
from typing import TYPE_CHECKING, Annotated

import typer

from coatwright.faces.cli import codes, options
from coatwright.faces.cli.app import app
from coatwright.faces.format import Words

if TYPE_CHECKING:
    from coatwright.faces.cli.output import Printer
    from coatwright.planning.day.plan import Day, DayPlan

Seconds = Annotated[
    float,
    typer.Option("--seconds", min=0.5, max=600, help="How long better days may be searched for."),
]
Only = Annotated[int | None, typer.Option("--only", metavar="N", min=1, help="That day alone.")]
Calendar = Annotated[
    Path | None,
    typer.Option("--calendar", metavar="FILE", help="Write the days as an iCalendar file."),
]
Begins = Annotated[
    str | None,
    typer.Option("--begins", metavar="DATE", help="Date of the first day, year-month-day."),
]


@app.command(short_help="Lay out the days of work.")
def day(
    job: options.Job,
    weather: options.Weather = None,
    seconds: Seconds = 10.0,
    only: Only = None,
    calendar: Calendar = None,
    begins: Begins = None,
    json: options.Json = False,
    units: options.UnitsOption = options.Units.metric,
) -> None:
    """Lay out the days of work: who does what when, each mix, each window kept.

    Flash-off, drying, recoat windows and pot lives hold at the day's temperature and the film of
    each coat; one gun for each class of paint is cleaned between two; bare metal never waits
    overnight; nobody is in two places at once. Few days come first, then little waiting, then few
    mixes; what is proven of that is said. If no day works, the demands that clash are named with
    the cheapest way out.

    \b
    Examples:
      coatwright day demo --only 1
      coatwright day roadster.toml --weather week.csv --seconds 30
      coatwright day roadster.toml --calendar roadster.ics --begins 2026-06-01

    \b
    Exit codes:
      0  fine
      1  no day works
      3  a file cannot be read, or has faults; all are listed
    """
    from coatwright.actions import plans

    first = _first(begins)
    made = plans.plan_job(job, None, options.path_of(weather), seconds)
    found = made.day
    assert found is not None  # it was asked for
    words = Words(units.value, made.currency)
    if calendar is not None and found.feasible:
        _write(calendar, job, found, first)
    if json:
        from coatwright.faces.arranged.machine import as_json

        typer.echo(as_json(found, words))
    else:
        from coatwright.faces.cli.output import Printer

        _tell(found, only, Printer(words))
    if not found.feasible:
        raise typer.Exit(codes.FINDINGS)


def _first(begins: str | None) -> date:
    if begins is None:
        return date.today()
    try:
        return date.fromisoformat(begins)
    except ValueError:
        raise typer.BadParameter(f"'{begins}' is no date; write it as 2026-06-01.") from None


def _tell(plan: "DayPlan", only: int | None, out: "Printer") -> None:
    if plan.clash is not None:
        out.heading("No day works")
        out.say(plan.clash.text)
        out.listed(plan.clash.cannot)
        out.say(plan.clash.way_out)
        return
    for one in plan.days:
        if only in (None, one.number):
            _tell_day(plan, one, out)
    out.heading("How good it is")
    out.say(plan.proof)
    out.listed((*plan.rules, *plan.notes))
    out.cautions(plan.cautions)


def _tell_day(plan: "DayPlan", one: "Day", out: "Printer") -> None:
    from coatwright.faces.drawing.day import day_list, day_name

    out.heading(day_name(plan, one))
    out.say(one.summary)
    rows = day_list(plan, one)
    if rows:
        out.table(("from", "to", "who", "what"), rows, keep=2)


def _write(file: Path, job: str, plan: "DayPlan", first: date) -> None:
    """Every piece of work as an entry of a calendar."""
    from coatwright.faces.arranged.calendar import calendar, work_events
    from coatwright.faces.cli.noting.note import key_of
    from coatwright.faces.drawing.day import moment

    events = work_events(
        key_of(job),
        (
            (one, moment(plan, one.start.value, first), moment(plan, one.end.value, first))
            for one in plan.entries
        ),
    )
    text = calendar(events, plan.title, datetime.now().astimezone())
    try:
        file.write_text(text, encoding="utf-8", newline="")
    except OSError as fault:
        raise typer.BadParameter(f"cannot write {file}: {fault.strerror}.") from None
