"""coatwright today."""

from collections.abc import Sequence
from typing import TYPE_CHECKING, Annotated

import typer

from coatwright.errors import NotFound
from coatwright.faces.cli import codes, options
from coatwright.faces.cli.app import app
from coatwright.faces.format import Words

if TYPE_CHECKING:
    from coatwright.faces.arranged.outlook import ProductDay
    from coatwright.faces.cli.output import Printer
    from coatwright.planning.conditions.window_plan import Hour

Product = Annotated[
    str | None, typer.Option("--product", metavar="KEY", help="This product of the job alone.")
]


@app.command(short_help="Tell hour by hour what may be sprayed.")
def today(
    job: options.Job,
    weather: options.Weather = None,
    product: Product = None,
    strict: options.Strict = False,
    json: options.Json = False,
    units: options.UnitsOption = options.Units.metric,
) -> None:
    """Tell hour by hour which products may be sprayed, and what is against the others.

    Looked at: the metal against the dew point, air, metal and humidity against the sheet's
    limits, now and once the fan has chilled the room; vapour against the lower flammable limit;
    the flash and the cure that follow, into the night if need be. Also which hardener and thinner
    suit, and how long the vapour takes to clear.

    With --product each reason is told in full. Each verdict holds for spraying begun at that
    hour. "Go" means only that nothing on this
    list is against it; it never says that a thing is without danger. The weather is a table
    (CSV) with a heading: time, air [degC], humidity [%], and if read, metal and outdoor [degC].

    \b
    Examples:
      coatwright today demo
      coatwright today demo --product epoxy
      coatwright today roadster.toml --weather tomorrow.csv

    \b
    Exit codes:
      0  fine
      1  with --strict: at no hour may anything be sprayed
      3  a file cannot be read, or has faults; all are listed
      4  no such product in the job; the plan says nothing of hours
    """
    from coatwright.actions import plans
    from coatwright.faces.arranged.outlook import may_now, outlook_of

    made = plans.plan_job(job, None, options.path_of(weather))
    hours = _of(outlook_of(made).hours, product)
    words = Words(units.value, made.currency)
    if json:
        from coatwright.faces.arranged.machine import as_json

        typer.echo(as_json(hours, words))
    else:
        from coatwright.faces.cli.output import Printer

        out = Printer(words)
        _tell(hours, out)
        out.cautions(one for one in made.cautions if one.where == "spraying")
    if strict and not may_now(hours):
        raise typer.Exit(codes.FINDINGS)


def _of(hours: "Sequence[Hour]", product: str | None) -> "Sequence[Hour]":
    """The hours, each with that product alone."""
    from dataclasses import replace

    if product is None or not hours:
        return hours
    keys = [go.key for go in hours[0].products]
    if product not in keys:
        raise NotFound(f"nothing of '{product}' is laid in this job",
                       instead=f"it lays {', '.join(keys)}")  # fmt: skip
    return [
        replace(hour, products=tuple(go for go in hour.products if go.key == product))
        for hour in hours
    ]


def _tell(hours: "Sequence[Hour]", out: "Printer") -> None:
    from coatwright.faces.arranged.outlook import product_days, vapour_cautions
    from coatwright.faces.drawing import day_rows

    out.heading("The shop, hour by hour" if len(hours) > 1 else "The shop as it usually is")
    head = ("hour", "air", "fan on", "metal", "humidity", "dew point", "metal above it")
    out.table(head, day_rows(hours, out.words))
    products = tuple(product_days(hours))
    fully = len(products) == 1 or len(hours) == 1
    for one in products:
        _tell_product(one, fully, out)
    _tell_vapour(products, out)
    out.listed(vapour_cautions(products))


def _tell_product(one: "ProductDay", fully: bool, out: "Printer") -> None:
    from coatwright.faces.drawing.weather import merged, spell_text

    brief = out.words.brief
    out.heading(f"{one.go.title} [{one.go.key}]")
    for spell in one.spells if fully else merged(one.spells):
        told = "; ".join(spell.reasons) if fully else ", ".join(spell.against)
        against = f": {told}" if told else ""
        out.say(f"{spell.verdict.upper()}, {spell_text(spell)}{against}.", 2, 4)
    use = f" Use {'; or '.join(one.speeds)}." if one.speeds else ""
    flash, cured = brief(one.go.flash), out.words.window(one.go.cured)
    out.say(f"Begun at the first hour: flash {flash}, through-dry {cured}.{use}", 2, 4)


def _tell_vapour(products: "Sequence[ProductDay]", out: "Printer") -> None:
    brief = out.words.brief
    out.heading("Vapour: one cup of each sprayed in one go, at the worst hour")
    out.table(
        ("product", "paint", "peak of LFL", "to stay under", "times over breathing limits",
         "clear after", "limits not on file"),
        (
            (
                one.go.title + (" ! over" if one.vapour.over else ""),
                brief(one.vapour.paint),
                brief(one.vapour.peak),
                brief(one.vapour.ceiling),
                brief(one.vapour.breathing) if one.vapour.breathing.value > 0 else "unknown",
                brief(one.vapour.clear_after),
                ", ".join(one.vapour.unknown) or "none",
            )
            for one in products
        ),
        keep=None,
    )  # fmt: skip
