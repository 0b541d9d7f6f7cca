"""coatwright recipe."""

from typing import TYPE_CHECKING, Annotated

import typer

from coatwright.errors import NotFound
from coatwright.faces.cli import codes, options
from coatwright.faces.cli.app import app
from coatwright.faces.format import Words

if TYPE_CHECKING:
    from coatwright.faces.cli.output import Printer
    from coatwright.planning.plan import StrokeRecipe

Product = Annotated[
    str | None,
    typer.Option("--product", metavar="KEY", help="Product; all of the area's if left out."),
]
Hand = Annotated[
    str | None, typer.Option("--hand", metavar="KEY", help="Whose hand; the painter's if left out.")
]
Gun = Annotated[
    str | None,
    typer.Option("--gun", metavar="KEY", help="This gun only; any of the shop's if not."),
]


@app.command(short_help="Compute how to set and move the gun on an area.")
def recipe(
    job: options.Job,
    area: options.AreaKey,
    product: Product = None,
    hand: Hand = None,
    gun: Gun = None,
    strict: options.Strict = False,
    json: options.Json = False,
    units: options.UnitsOption = options.Units.metric,
) -> None:
    """Compute one area's stroke recipe: how to set the gun and move it.

    Solved from the area's shape, the gun's fan, the product's sheet and the painter's hand: the
    set-up, strokes and coats that put at least the wanted film everywhere, keep runs and light
    patches under the job's bounds, and use least paint and then least time. What else was
    weighed is shown with its price. Try another hand or gun to see what it changes.

    \b
    Examples:
      coatwright recipe demo bay-strips
      coatwright recipe demo bay-strips --hand learner
      coatwright recipe roadster.toml sill --product high-build --gun spot-gun

    \b
    Exit codes:
      0  fine
      1  with --strict: the best there is lies outside the bounds
      3  the file cannot be read, or has faults; all are listed
      4  no such area, product, hand or gun; nothing there is sprayed
    """
    from coatwright.actions import plans

    found = plans.recipes_for(job, area, product, hand, gun)
    if not found:
        raise NotFound(
            f"nothing on '{area}' is sprayed with a gun",
            instead="its layers are wiped, brushed or laid by lance: see coatwright routes",
        )
    words = Words(units.value)
    if json:
        from coatwright.faces.arranged.machine import as_json

        typer.echo(as_json(found, words))
    else:
        from coatwright.faces.cli.output import Printer

        out = Printer(words)
        for one in found:
            _tell(one, out)
        out.cautions(plans.cautions_for(job, area, "spraying"))
    if strict and not all(one.within_bounds for one in found):
        raise typer.Exit(codes.FINDINGS)


def _tell(one: "StrokeRecipe", out: "Printer") -> None:
    from coatwright.faces.arranged.contents import weighed

    words = out.words
    out.heading(f"{one.product} on {one.area}, {one.gun_title}, hand: {one.hand}")
    if not one.within_bounds:
        out.say(f"Outside the bounds: {one.shortfall}", 2, 2)
    out.pairs(_settings(one, words))
    out.listed(one.advice)
    if one.choices:
        out.heading("What else was weighed")
        out.table(
            ("", "alternative", "paint", "time", "runs", "light", "why not"),
            (
                (
                    "*" if choice.chosen else "",
                    choice.text,
                    words.brief(choice.paint),
                    words.brief(choice.minutes),
                    words.chance(choice.run_chance),
                    words.chance(choice.light_chance),
                    choice.why_not,
                )
                for choice in weighed(one)
            ),
        )


def _settings(one: "StrokeRecipe", words: Words) -> list[tuple[str, str]]:
    text = words.text
    return [
        ("nozzle", text(one.nozzle)),
        ("pressure", f"{text(one.pressure)} at the gun, trigger pulled"),
        ("fan", f"{text(one.fan)} open, {text(one.fan_length)} long on the work"),
        ("fluid", f"{text(one.fluid)}, {text(one.fluid_share)} of full trigger"),
        ("distance", text(one.distance)),
        ("speed", f"{text(one.speed)}: {words.value(1.0, 'run')} in {text(one.pace)}"),
        ("strokes", f"{text(one.strokes)} a coat, {one.direction} the area, {one.spray_in}"),
        ("pitch", f"{text(one.pitch)}, overlap {text(one.overlap)}"),
        ("overrun", f"{text(one.overrun)} past each end"),
        ("coats", text(one.coats)),
        ("wet coat", f"{text(one.wet_coat)}; runs above {text(one.run_limit)}"),
        ("dry film", f"{text(one.dry_total)} in all; thinnest {text(one.thinnest)}"),
        ("chance of a run", words.chance(one.run_chance)),
        ("chance of light", words.chance(one.light_chance)),
        ("paint", f"{text(one.paint)}; {text(one.overspray)} lost in the air"),
        (
            "time",
            f"{text(one.spray_minutes)}, of it {text(one.trigger_time)} with the trigger pulled",
        ),
    ]
