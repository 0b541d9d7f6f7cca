"""coatwright paper."""

from collections.abc import Callable
from dataclasses import dataclass
from datetime import datetime
from enum import StrEnum
from pathlib import Path
from typing import TYPE_CHECKING, Annotated, Any

import typer

from coatwright.faces.cli import options
from coatwright.faces.cli.app import app
from coatwright.faces.cli.noting.note import key_of
from coatwright.faces.format import Words
from coatwright.faces.texts import LOCALES, tongue

if TYPE_CHECKING:
    from coatwright.actions.dossier import Dossier
    from coatwright.faces.papers.invoice import Heading
    from coatwright.planning.plan import Plan
    from coatwright.record.account import Bill

_DAY_SECONDS = 4.0
"""How long good days of work are looked for."""
_WITH_DAYS = ("pack", "days")


class Which(StrEnum):
    """The papers there are."""

    pack = "pack"
    cover = "cover"
    areas = "areas"
    buying = "buying"
    mixes = "mixes"
    guns = "guns"
    air = "air"
    days = "days"
    estimate = "estimate"
    record = "record"
    invoice = "invoice"


class Size(StrEnum):
    """Sheets of paper."""

    a4 = "a4"
    letter = "us-letter"


@dataclass(frozen=True)
class _Asked:
    """What was asked for: which paper of which job, on what sheet, for which reader."""

    job: str
    which: Which
    size: Size
    units: options.Units
    language: options.Language

    def words(self, currency: str) -> Words:
        """What a paper or a table is worded with."""
        return Words(self.units.value, currency, tongue(self.language.value))


@app.command(short_help="Write a paper: job pack, cards for the wall, paint record, invoice.")
def paper(
    job: options.Job,
    which: Annotated[Which, typer.Argument(metavar="PAPER", help="Which one, as listed below.")],
    to: Annotated[
        Path, typer.Option("--to", metavar="FILE", help="Where to: .pdf, .csv or .json.")
    ],
    size: Annotated[
        Size, typer.Option("--paper", help="Sheet to print on.", show_default=True)
    ] = Size.a4,
    web: Annotated[
        str, typer.Option("--web", metavar="ADDRESS", help="Of the workshop's app, for the code.")
    ] = "http://localhost:8321",
    number: Annotated[str, typer.Option("--number", help="Number of the invoice.")] = "draft",
    units: options.UnitsOption = options.Units.metric,
    language: options.LanguageOption = options.Language.en,
) -> None:
    """Write a paper as PDF to print, as CSV for a spreadsheet, as JSON for anything else.

    \b
    PAPER is one of
      pack       all papers of the plan in one
      cover      the job, what to do first, every caution
      areas      each area with its section to scale, system, layers
      buying     what to buy, with boxes to tick
      mixes      mix sheets: what the scale reads, in pouring order
      guns       a card for each gun, to hang on its hook
      air        what to set at the wall, how long it holds
      days       a sheet for each day of work
      estimate   what it costs, what is due when, room for a yes
      record     the paint record for the owner
      invoice    what may be billed for a job of the shop

    Record and invoice come from the record of the shop, all others from the plan. PDFs are tagged
    for screen readers. A paper with several tables becomes several CSV files, each named for its
    table; their heads and numbers are the same in every language, and so is JSON.

    \b
    Examples:
      coatwright paper roadster.toml pack --to pack.pdf
      coatwright paper roadster.toml guns --to cards.pdf \\
        --paper us-letter --units us
      coatwright paper roadster.toml areas --to flaechen.pdf --language de
      coatwright paper roadster.toml buying --to buying.csv
      coatwright paper roadster.toml record --to record.pdf

    \b
    Exit codes:
      0  written
      2  no such paper, or a file it cannot be written to
      3  the job file cannot be read, or has faults
      4  the record knows nothing of the job
      5  no yes of the owner to bill on
    """
    asked = _Asked(job, which, size, units, language)
    kind = to.suffix.lower()
    if kind not in (".pdf", ".csv", ".json"):
        raise typer.BadParameter("write to a file that ends in .pdf, .csv or .json.")
    makers: dict[Which, Callable[[], dict[str, bytes]]] = {
        Which.record: lambda: _record(asked, kind, f"{web}/jobs/{key_of(job)}/record"),
        Which.invoice: lambda: _invoice(asked, kind, number),
    }
    made = makers.get(which, lambda: _of_plan(asked, kind, f"{web}/jobs/{key_of(job)}"))()
    for name, data in made.items():
        file = to if len(made) == 1 else to.with_stem(f"{to.stem}-{name}")
        _write(file, data)


def _write(file: Path, data: bytes) -> None:
    try:
        file.write_bytes(data)
    except OSError as fault:
        raise typer.BadParameter(f"cannot write {file}: {fault.strerror}.") from None
    typer.echo(f"{file}")


def _of_plan(asked: _Asked, kind: str, address: str) -> dict[str, bytes]:
    from coatwright.actions.plans import plan_job
    from coatwright.faces.papers.pack import pack_pdf

    which = asked.which.value
    plan = plan_job(asked.job, day_seconds=_DAY_SECONDS if which in _WITH_DAYS else None)
    words = asked.words(plan.currency)
    if kind == ".pdf":
        return {which: pack_pdf(plan, words, asked.size.value, which, address)}
    if kind == ".csv":
        from coatwright.faces.papers.tables import plan_tables

        return _tables(plan_tables(plan, which), words)
    return {which: _json(_part(plan, which), asked.units, plan.currency)}


def _part(plan: "Plan", which: str) -> Any:
    """What of the plan a paper tells."""
    parts: dict[str, Any] = {
        "cover": {"cautions": plan.cautions, "notes": plan.notes, "cost": plan.cost.total},
        "areas": {"areas": plan.areas},
        "buying": {"purchases": plan.purchases, "consumables": plan.consumables},
        "mixes": {"products": plan.products},
        "guns": {"recipes": plan.recipes},
        "air": {"air": plan.outlook.air_card if plan.outlook else None},
        "days": {"day": plan.day},
        "estimate": {"cost": plan.cost},
    }
    told = parts.get(which)
    return plan if told is None else {"title": plan.title, "invented": plan.invented, **told}


def _tables(tables: Any, words: Words) -> dict[str, bytes]:
    from coatwright.faces.papers.tables import as_csv

    return {table.name: as_csv(table.rows, words).encode() for table in tables}


def _json(thing: Any, units: options.Units, currency: str) -> bytes:
    from coatwright.faces.arranged.machine import as_json

    return (as_json(thing, Words(units.value, currency)) + "\n").encode()


def _record(asked: _Asked, kind: str, address: str) -> dict[str, bytes]:
    from coatwright.actions.dossier import dossier_in
    from coatwright.actions.record import open_record

    with open_record() as opened:
        zone = datetime.now().astimezone().tzinfo
        told = dossier_in(opened, asked.job, key_of(asked.job), zone)
        return _told(told, asked, kind, address, opened.attachment)


def _told(
    told: "Dossier", asked: _Asked, kind: str, address: str, attached: Callable[[str], bytes]
) -> dict[str, bytes]:
    words = asked.words(told.currency)
    if kind == ".pdf":
        from coatwright.faces.papers.record import record_pdf

        return {"record": record_pdf(told, words, asked.size.value, address, attached)}
    if kind == ".csv":
        from coatwright.faces.papers.tables import record_tables

        return _tables(record_tables(told), words)
    return {"record": _json(told, asked.units, told.currency)}


def _invoice(asked: _Asked, kind: str, number: str) -> dict[str, bytes]:
    from coatwright.actions.money import invoice
    from coatwright.actions.record import open_record
    from coatwright.actions.shop import Shop
    from coatwright.faces.papers.invoice import Heading

    with open_record() as opened:
        shop, key = Shop(opened, Path.cwd()), key_of(asked.job)
        job = shop.open(key).bench.job
        day = shop.clock().date()
        heading = Heading(
            number, day, job.title, job.workshop.title, job.owner,
            LOCALES[asked.language.value], job.invented,
        )  # fmt: skip
        return {"invoice": _billed(invoice(shop, key), heading, asked, kind)}


def _billed(bill: "Bill", heading: "Heading", asked: _Asked, kind: str) -> bytes:
    from coatwright.faces.papers.invoice import invoice_csv, invoice_json, invoice_pdf

    if kind == ".pdf":
        return invoice_pdf(bill, heading, asked.size.value)
    if kind == ".csv":
        return invoice_csv(bill, heading.tongue).encode()
    return invoice_json(bill, heading).encode()
