"""coatwright schema."""

from enum import StrEnum
from typing import Annotated

import typer

from coatwright.faces.cli.app import app


class Kind(StrEnum):
    """Files a schema is published for."""

    job = "job"
    sheet = "sheet"


Which = Annotated[Kind, typer.Argument(help="The job file or a product sheet.")]


@app.command(short_help="Print a JSON Schema.")
def schema(which: Which = Kind.job) -> None:
    """Print the JSON Schema of the job file or of a product sheet.

    Editors that know JSON Schema complete and check TOML files with it.

    \b
    Examples:
      coatwright schema > job.schema.json
      coatwright schema sheet > sheet.schema.json
    """
    from importlib.resources import files

    name = f"data/schema/{which.value}.schema.json"
    typer.echo(files("coatwright").joinpath(name).read_text(encoding="utf-8"), nl=False)
