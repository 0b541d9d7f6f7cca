"""coatwright sheets."""

from typing import Annotated

import typer

from coatwright.faces.cli import options
from coatwright.faces.cli.app import app
from coatwright.faces.format import Words

Product = Annotated[
    str | None, typer.Argument(metavar="[PRODUCT]", help="Show this sheet; list all if left out.")
]
JobOption = Annotated[
    str | None, typer.Option("--job", metavar="JOB", help="With the shop's own sheets of this job.")
]


@app.command(short_help="List or show the product sheets.")
def sheets(
    product: Product = None,
    job: JobOption = None,
    json: options.Json = False,
    units: options.UnitsOption = options.Units.metric,
) -> None:
    """List the product sheets, or show one as a TOML file to copy.

    The sheets that ship are generic, with values typical of their class, and marked
    illustrative. To use your own tin, copy the sheet, put in what its data sheet says, and name
    the folder in the job file.

    \b
    Examples:
      coatwright sheets
      coatwright sheets epoxy > my-sheets/my-epoxy.toml

    \b
    Exit codes:
      0  fine
      3  a file cannot be read, or has faults; all are listed
      4  no such product
    """
    from coatwright.actions import plans

    if product is not None and not json:
        typer.echo(plans.sheet_text(product, job), nl=False)
        return
    found = plans.sheets(job)
    if product is not None:
        found = {product: plans.sheet(product, job)}
    words = Words(units.value)
    if json:
        from coatwright.faces.arranged.machine import as_json

        typer.echo(as_json(found, words))
        return
    from coatwright.faces.cli.output import Printer

    Printer(words).table(
        ("key", "product", "family", "values"),
        (
            (key, one.title, str(one.family), "illustrative" if one.illustrative else "own")
            for key, one in found.items()
        ),
    )
