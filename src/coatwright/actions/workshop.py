"""The composition root: job file, sheets and rules come together here, once."""

from dataclasses import dataclass
from functools import cache
from importlib.resources import as_file, files
from pathlib import Path

from coatwright.errors import NotFound
from coatwright.intake.jobfile import JobFile, open_file
from coatwright.intake.rules import load_rules, load_work
from coatwright.intake.sheets import Library, load_sheets
from coatwright.model.job import Job
from coatwright.planning.advice.routes import Adviser
from coatwright.planning.advice.rulebook import Rulebook
from coatwright.planning.build import Shop
from coatwright.sentences import say

DEMOS = {"demo": "larkfield", "practice": "practice-board"}
"""Names that stand for the invented jobs of the package."""


@dataclass(frozen=True)
class Bench:
    """A job file opened with everything needed to plan it."""

    file: JobFile
    library: Library
    shop: Shop

    @property
    def job(self) -> Job:
        """The job."""
        return self.file.job


def open_bench(job: str) -> Bench:
    """Open a job file, or one of the invented jobs by its name ("demo", "practice").

    Raises InputErrors with every fault of the file, the shop's own sheets and the systems named;
    NotFound if there is no such file.
    """
    opened = _demo(DEMOS[job]) if job in DEMOS else open_file(Path(job))
    return bench_of(opened, Path(job).parent)


def bench_of(opened: JobFile, beside: Path) -> Bench:
    """A job file that is open, with everything needed to plan it; its own sheets lie beside it.

    Raises InputErrors with every fault of the shop's own sheets and the systems named.
    """
    library = _library(_own_sheets(opened, beside))
    bench = Bench(opened, library, _shop(library))
    _check_names(bench)
    return bench


def open_shop(job: str | None = None) -> tuple[Library, Job | None]:
    """The product sheets, with the job whose folder of own sheets counts, if one is named."""
    if job is None:
        return _library(()), None
    bench = open_bench(job)
    return bench.library, bench.job


def _demo(name: str) -> JobFile:
    with as_file(files("coatwright") / "data" / "demo" / f"{name}.toml") as path:
        return open_file(path)


def _own_sheets(opened: JobFile, beside: Path) -> tuple[Path, ...]:
    folder = opened.job.workshop.sheets
    if folder is None:
        return ()
    place = beside / folder
    if not place.is_dir():
        raise opened.fault(
            ("workshop", "sheets"),
            say("there is no folder '{folder}' beside the job file", folder=str(folder)),
            say("name a folder of product sheets, or leave the line out"),
        )
    return (place,)


@cache
def _library(folders: tuple[Path, ...]) -> Library:
    return load_sheets(folders)


@cache
def _adviser(identity: int) -> Adviser:
    return Adviser(Rulebook(load_rules()), _known[identity], load_work())


_known: dict[int, Library] = {}


def _shop(library: Library) -> Shop:
    _known[id(library)] = library
    return Shop(library, _adviser(id(library)), library.notes)


def _check_names(bench: Bench) -> None:
    """Every product a job names must have a sheet: all faults at once, each with its line."""
    from coatwright.errors import InputErrors

    faults = []
    for place, key in _named(bench.job):
        if key not in bench.library:
            try:
                bench.library[key]
            except NotFound as missing:
                faults.append(bench.file.fault(place, missing.what, missing.instead))
    if faults:
        raise InputErrors(faults)


def _named(job: Job) -> list[tuple[tuple[str | int, ...], str]]:
    rows: list[tuple[tuple[str | int, ...], str]] = [
        (("topcoat", index), key) for index, key in enumerate(job.topcoat)
    ]
    for a, area in enumerate(job.areas):
        for p, patch in enumerate(area.patches):
            rows.extend(
                (("areas", a, "patches", p, "system", index), key)
                for index, key in enumerate(patch.system or ())
            )
    return rows
