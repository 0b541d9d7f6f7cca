"""coatwright mix."""

from typing import TYPE_CHECKING, Annotated, Any

import typer

from coatwright.faces.cli import options
from coatwright.faces.cli.app import app
from coatwright.faces.format import Words

if TYPE_CHECKING:
    from coatwright.faces.cli.output import Printer

Product = Annotated[str, typer.Argument(metavar="PRODUCT", help="Key of the product sheet.")]
Amount = Annotated[
    str, typer.Argument(metavar="AMOUNT", help="How much to mix, by volume or weight: '600 mL'.")
]
JobOption = Annotated[
    str | None,
    typer.Option("--job", metavar="JOB", help="Use this job's shop: its climate, scale, sheets."),
]


@app.command(short_help="Print a mix sheet for so many mL or g.")
def mix(
    product: Product,
    amount: Amount,
    job: JobOption = None,
    json: options.Json = False,
    units: options.UnitsOption = options.Units.metric,
) -> None:
    """Print a mix sheet: what to pour, in order, by volume and as the scale will read.

    Thinner is set to reach the spraying viscosity of the sheet at the shop's temperature. Leave
    the cup on the scale and do not reset it: the readings add up. Without a job the shop is
    taken at 20 degC.

    \b
    Examples:
      coatwright mix high-build "600 mL"
      coatwright mix solid-two-pack "450 g" --job roadster.toml
      coatwright mix epoxy "1 US qt" --units us --json

    \b
    Exit codes:
      0  fine
      3  the amount is no quantity; a file cannot be read, or has faults
      4  no such product
      6  viscosity or temperature outside the range of the formulas
    """
    from coatwright.actions import plans

    sheet = plans.mix(job, product, amount)
    words = Words(units.value)
    if json:
        from coatwright.faces.arranged.machine import as_json

        typer.echo(as_json(sheet, words))
        return
    from coatwright.faces.cli.output import Printer

    out = Printer(words)
    _tell(sheet, out)
    out.cautions(plans.product_cautions(job, product))


def _tell(sheet: Any, out: "Printer") -> None:
    words = out.words
    out.heading(f"{sheet.title}: {words.brief(sheet.volume)}, {words.brief(sheet.mass)}")
    out.table(
        ("", "pour", "volume", "weight", "scale reads"),
        (
            (
                str(index),
                pour.title,
                words.brief(pour.volume),
                words.brief(pour.mass),
                words.brief(pour.on_scale),
            )
            for index, pour in enumerate(sheet.pours, start=1)
        ),
    )
    rows = [
        ("thinner", f"{words.brief(sheet.thinner_share)} of base and hardener, by volume"),
        ("viscosity", f"{words.text(sheet.cup_seconds)} in the {sheet.cup} cup"),
        ("VOC", f"{words.brief(sheet.voc)}: {sheet.voc_verdict}"),
    ]
    if sheet.pot_life is not None:
        rows.append(("pot life", words.text(sheet.pot_life)))
    if sheet.stir_wait.value:
        rows.append(("let stand", words.text(sheet.stir_wait)))
    out.pairs(rows)
    out.listed(sheet.notes)
