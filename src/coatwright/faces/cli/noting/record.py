"""coatwright record."""

from datetime import UTC, datetime
from pathlib import Path
from typing import TYPE_CHECKING, Annotated

import typer

from coatwright.errors import NotFound
from coatwright.faces.cli import options
from coatwright.faces.cli.app import app
from coatwright.faces.cli.noting.note import Job, key_of
from coatwright.faces.format import Words

if TYPE_CHECKING:
    from coatwright.actions.record import LayerStatus, PatchStatus, Status
    from coatwright.faces.cli.output import Printer
    from coatwright.record.store.ledger import Record


@app.command(short_help="Show what lies on each patch, and what is due.")
def record(
    job: Job,
    at: Annotated[
        str, typer.Option("--at", metavar="MOMENT", help="As it was then: 2031-05-05 14:30.")
    ] = "",
    due: Annotated[
        bool, typer.Option("--due", help="Compute the plan too and say what is due next.")
    ] = False,
    export: Annotated[
        Path | None,
        typer.Option("--export", metavar="FILE", help="Write the whole job as one zip file."),
    ] = None,
    take_in: Annotated[
        bool, typer.Option("--take-in", help="JOB is such a zip file: put it into the record.")
    ] = False,
    json: options.Json = False,
    units: options.UnitsOption = options.Units.metric,
) -> None:
    """Show what lies on each patch by the record, how its window stands, and what is due.

    Everything follows from the events noted. Where they do not fit together the record says so and
    keeps them. The exported file holds all events as documented JSON and every attached file; it
    can be read without Coatwright.

    \b
    Examples:
      coatwright record roadster.toml --due
      coatwright record roadster.toml --at "2031-05-05 14:30"
      coatwright record roadster.toml --export roadster.zip
      coatwright record roadster.zip --take-in

    \b
    Exit codes:
      0  fine
      2  an archive that is damaged or was changed
      4  nothing is known of this job
      8  the record cannot be read or written
    """
    from coatwright.actions import record as actions

    with actions.open_record() as opened:
        key = _taken_in(opened, Path(job)) if take_in else key_of(job)
        now = actions.moment(at, opened.clock()) if at else opened.clock()
        state = actions.state_of(opened, key, now if at else None)
        if not state.number:
            raise NotFound(f"nothing is known of job '{key}'", instead=_known(opened.jobs()))
        if export is not None:
            _write(export, actions.archive_of(opened, key))
    plan = None
    if due:
        from coatwright.actions.plans import plan_job

        plan = plan_job(job)
    told = actions.status(state, now, plan)
    words = Words(units.value)
    if json:
        from coatwright.faces.arranged.machine import as_json

        typer.echo(as_json(told, words))
        return
    from coatwright.faces.cli.output import Printer

    _tell(told, Printer(words), export)


def _known(jobs: list[str]) -> str:
    return f"the record has {', '.join(jobs)}" if jobs else "the record is empty"


def _taken_in(opened: "Record", file: Path) -> str:
    from coatwright.actions import record as actions

    try:
        archive = file.read_bytes()
    except OSError as fault:
        raise typer.BadParameter(f"cannot read {file}: {fault.strerror}.") from None
    return actions.take_in(opened, archive)


def _write(file: Path, archive: bytes) -> None:
    try:
        file.write_bytes(archive)
    except OSError as fault:
        raise typer.BadParameter(f"cannot write {file}: {fault.strerror}.") from None


def _tell(told: "Status", out: "Printer", export: Path | None) -> None:
    out.heading(f"{told.job}, {_moment(told.at)}: {told.events} events")
    for patch in told.patches:
        _tell_patch(patch, out)
    if told.taken_over:
        out.heading(told.taken_over[:1].upper() + told.taken_over[1:])
    if told.doubts:
        out.heading("What does not fit together")
        out.listed(told.doubts)
    if export is not None:
        out.heading(f"The whole job is in {export}")


def _tell_patch(patch: "PatchStatus", out: "Printer") -> None:
    where = f"{patch.area_title} [{patch.area}]" if patch.area else "The whole job"
    out.heading(where + (f", {patch.patch}" if patch.patch else ""))
    ground = f"On {patch.ground}: " if patch.ground else ""
    layers = "; ".join(_layer(one, out) for one in patch.layers) or "nothing of ours"
    total = f" In all {out.words.text(patch.film)}." if patch.film and patch.layers[1:] else ""
    out.say(f"{ground}{layers}.{total}", 2, 2)
    out.say(f"Window: {patch.window}.", 2, 2)
    for number, text in enumerate(patch.due):
        out.say(f"{'Due: ' if number == 0 else 'then '}{text}", 2, 4)


def _layer(layer: "LayerStatus", out: "Printer") -> str:
    coats = "1 coat" if layer.coats == 1 else f"{layer.coats} coats"
    film = f", {out.words.text(layer.film)} by the plan" if layer.film else ", film not known"
    rubbed = f", rubbed down with {', '.join(layer.rubbed)}" if layer.rubbed else ""
    broke = ", rubbed through in places" if layer.broke_through else ""
    return f"{layer.product}, {coats}{film}{rubbed}{broke}"


def _moment(at: datetime) -> str:
    return f"{at.astimezone(UTC):%Y-%m-%d %H:%M} UTC"
