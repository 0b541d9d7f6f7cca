"""coatwright may."""

from typing import TYPE_CHECKING, Annotated

import typer

from coatwright.faces.cli import codes, options
from coatwright.faces.cli.app import app
from coatwright.faces.format import Words

if TYPE_CHECKING:
    from coatwright.faces.cli.output import Printer
    from coatwright.planning.advice.routes import May

Product = Annotated[
    str, typer.Argument(metavar="PRODUCT", help="Key of the product that is to go on.")
]
_ANSWERS = {"yes": "Yes.", "yes if": "Yes, if", "no": "No."}


@app.command(short_help="Ask whether a product may go on what is there.")
def may(
    job: options.Job,
    area: options.AreaKey,
    product: Product,
    patch: Annotated[
        str | None, typer.Option("--patch", metavar="KEY", help="Which patch of the area.")
    ] = None,
    strict: options.Strict = False,
    json: options.Json = False,
    units: options.UnitsOption = options.Units.metric,
) -> None:
    """Ask whether a product may go on what is there now, and how to get there if not.

    Answers yes, yes if (keyed, isolated, test patch ...) or no, with the failure that would
    follow and the cheapest permitted route to the same end. Old paint of unknown history is
    never trusted. Where experts differ the answer is the cautious one, and says so.

    \b
    Examples:
      coatwright may demo boot-lid high-build --patch old-paint
      coatwright may roadster.toml wing solid-two-pack --patch old-paint

    \b
    Exit codes:
      0  yes, or yes if
      1  no; with --strict also yes if
      3  the file cannot be read, or has faults; all are listed
      4  no such area, patch or product
    """
    from coatwright.actions import plans

    answer = plans.may(job, area, product, patch)
    judgement = answer.judgement
    words = Words(units.value)
    if json:
        from coatwright.faces.arranged.machine import as_json

        told = {
            "verdict": judgement.verdict,
            "needs": judgement.needs,
            "findings": judgement.findings,
            "route": answer.route,
        }
        typer.echo(as_json(told, words))
    else:
        from coatwright.faces.cli.output import Printer

        _tell(answer, Printer(words))
    if judgement.verdict == "no" or (strict and judgement.verdict != "yes"):
        raise typer.Exit(codes.FINDINGS)


def _tell(answer: "May", out: "Printer") -> None:
    judgement, route = answer.judgement, answer.route
    said = _ANSWERS[judgement.verdict]
    out.heading(f"{said} {', '.join(judgement.needs)}." if judgement.verdict == "yes if" else said)
    for finding in judgement.findings:
        out.finding(finding, 2)
    if judgement.verdict == "yes":
        return
    if route is None:
        out.say("No permitted route leads there.")
        return
    words = out.words
    out.heading(f"Cheapest permitted route: {route.title}")
    out.say(
        f"{words.text(route.film)}, {words.brief(route.days)}, {words.text(route.money)}. "
        f"{route.summary}", 2,
    )  # fmt: skip
    out.listed(step.text for step in route.steps)
