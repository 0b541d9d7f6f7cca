"""coatwright note."""

from pathlib import Path
from typing import TYPE_CHECKING, Annotated

import typer

from coatwright.errors import InputError
from coatwright.faces.cli import options
from coatwright.faces.cli.app import app

if TYPE_CHECKING:
    from coatwright.record.events import Planned

Job = Annotated[str, typer.Argument(metavar="JOB", help="Job file, or key of a job of the record.")]
Kind = Annotated[str, typer.Argument(metavar="WHAT", help="What has happened, as listed below.")]
Fields = Annotated[
    list[str] | None,
    typer.Argument(metavar="[NAME=VALUE]...", help="The details; quantities with their units."),
]


@app.command(short_help="Note what has happened.")
def note(
    job: Job,
    kind: Kind,
    fields: Fields = None,
    area: Annotated[str, typer.Option("--area", metavar="KEY", help="On which area.")] = "",
    patch: Annotated[str, typer.Option("--patch", metavar="KEY", help="On which patch.")] = "",
    who: Annotated[
        str, typer.Option("--who", metavar="NAME", help="Who did it; the one of the settings.")
    ] = "",
    at: Annotated[
        str, typer.Option("--at", metavar="MOMENT", help="When: 14:30, 2031-05-05 14:30; or now.")
    ] = "",
    photo: Annotated[
        list[Path] | None, typer.Option("--photo", metavar="FILE", help="A file that shows it.")
    ] = None,
    planned: Annotated[
        bool, typer.Option("--planned", help="Keep what the plan says of a coat that begins.")
    ] = False,
    json: options.Json = False,
) -> None:
    """Note what has happened, once it is on disk. Nothing noted is ever changed.

    \b
    WHAT is one of
      arrived, stripped, found, degreased, mixed, "coat begun", "coat done",
      "cup weighed", "film read", "climate read", "air read", "fluid caught",
      "strokes timed", "board read", "board weighed", "rubbed down",
      "broke through", "defect seen", repaired, photographed,
      "extra proposed", approved, refused, finished, "taken over",
      "paid time", "work begun", "work done", received, bought, counted,
      note, corrected

    docs/record.md lists the details of each. What was noted by mistake is struck out by "corrected"
    with its id; then note it again as it was.

    \b
    Examples:
      coatwright note roadster.toml mixed mix=m1 product=epoxy \\
        parts.base="400 g" parts.hardener="200 g" lots.base=L7
      coatwright note roadster.toml "coat begun" product=epoxy coat=1 mix=m1 \\
        --area boot-lid --planned
      coatwright note roadster.toml "coat done" product=epoxy coat=1 \\
        --area boot-lid --at 14:30
      coatwright note roadster.toml "film read" method=gauge \\
        readings="62 um, 58 um" --area boot-lid
      coatwright note roadster.toml corrected event=4f0c... why="it was the door"

    \b
    Exit codes:
      0  it is on disk
      2  it cannot be understood
      4  the plan has no such area, patch or product
      8  the record cannot be written
    """
    from coatwright.actions import record as actions
    from coatwright.settings import load

    settings = load()
    given = dict(_pair(text) for text in fields or ())
    what = kind.replace("-", " ")
    foretold: Planned | None = None
    if planned:
        foretold = actions.planned_for(job, area, given.get("product", ""), patch)
    photos = [(one.name, _content(one)) for one in photo or ()]
    with actions.open_record(settings) as record:
        said = {
            "job": key_of(job), "kind": what, "fields": given, "area": area, "patch": patch,
            "who": who or settings.who,
            "at": actions.moment(at, record.clock()).isoformat() if at else "",
        }  # fmt: skip
        kept = actions.note(record, said, photos, foretold)
    if json:
        typer.echo(kept.model_dump_json(indent=2))
        return
    typer.echo(f"{kept.at.astimezone():%Y-%m-%d %H:%M} {kept.body.kind}, number {kept.number}")
    typer.echo(f"id {kept.id}")


def key_of(job: str) -> str:
    """Under which key the record keeps a job that was named by its file or its key."""
    return Path(job).stem if job.endswith(".toml") else job


def _pair(text: str) -> tuple[str, str]:
    name, equals, value = text.partition("=")
    if not equals:
        raise InputError(f"'{text}' is no detail", instead="write NAME=VALUE")
    return name.strip(), value.strip()


def _content(file: Path) -> bytes:
    try:
        return file.read_bytes()
    except OSError as fault:
        raise typer.BadParameter(f"cannot read {file}: {fault.strerror}.") from None
