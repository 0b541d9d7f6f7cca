"""Arguments and options that several commands share, each worded once."""

from enum import StrEnum
from pathlib import Path
from typing import Annotated

import typer


class Units(StrEnum):
    """Unit systems a person can read figures in."""

    metric = "metric"
    us = "us"


class Language(StrEnum):
    """Languages of the papers: those of the catalogues."""

    en = "en"
    de = "de"


Job = Annotated[
    str, typer.Argument(metavar="JOB", help="Job file, or 'demo' for the invented demo job.")
]
AreaKey = Annotated[str, typer.Argument(metavar="AREA", help="Key of the area in the job file.")]
PatchKey = Annotated[
    str | None,
    typer.Argument(metavar="[PATCH]", help="Key of the patch; needed if the area has several."),
]
AreaOption = Annotated[
    str | None, typer.Option("--area", metavar="AREA", help="This area of the job alone.")
]
Weather = Annotated[
    Path | None,
    typer.Option("--weather", metavar="FILE", help="Table of weather (CSV) by the hour."),
]
UnitsOption = Annotated[
    Units, typer.Option("--units", help="Units of the figures shown.", show_default=True)
]
LanguageOption = Annotated[
    Language, typer.Option("--language", help="Language of the paper.", show_default=True)
]
Json = Annotated[
    bool, typer.Option("--json", help="Print JSON: SI values with unit, basis and source.")
]
Strict = Annotated[
    bool,
    typer.Option("--strict", help="Exit with 1 if anything must be mended before spraying."),
]


def path_of(file: Path | None) -> str | None:
    """The path as text, for the actions."""
    return None if file is None else str(file)
