"""coatwright cause."""

from typing import TYPE_CHECKING, Annotated

import typer

from coatwright.errors import InputError
from coatwright.faces.cli import options
from coatwright.faces.cli.app import app
from coatwright.faces.format import Words, clock

if TYPE_CHECKING:
    from coatwright.faces.cli.output import Printer
    from coatwright.record.diagnosis.causes import Diagnosis, NextCheck, Ranked

Job = Annotated[
    str,
    typer.Argument(
        metavar="JOB",
        help="Job file, key of a job of the record, an archive (.zip), a file of events (.jsonl), "
        "or 'demo'.",
    ),
]
DefectName = Annotated[
    str,
    typer.Argument(
        metavar="[DEFECT]", help="What is to be seen; the one recorded last if left out."
    ),
]
Found = Annotated[
    list[str] | None,
    typer.Option("--found", metavar="CHECK=yes|no", help="Answer to a check; may be repeated."),
]
_SHOWN = 3
_LIKELY = 0.02
_ANSWERS = {"yes": True, "no": False}


@app.command(short_help="Ask the record why a defect came.")
def cause(
    job: Job,
    defect: DefectName = "",
    area: Annotated[str, typer.Option("--area", metavar="KEY", help="On which area.")] = "",
    patch: Annotated[str, typer.Option("--patch", metavar="KEY", help="On which patch.")] = "",
    product: Annotated[
        str, typer.Option("--product", metavar="KEY", help="In which layer; the last if left out.")
    ] = "",
    found: Found = None,
    json: options.Json = False,
    units: options.UnitsOption = options.Units.metric,
) -> None:
    """Ask the record why a defect came.

    Ranks the causes of a defect against what the record holds of the coats, the climate, the mixes
    and the surface: for each what speaks for it and against it, in figures with times, what to
    check next, what to do now and what to do differently. Where every bound was kept nobody is
    blamed, and what was not recorded is named.

    \b
    Examples:
      coatwright cause demo
      coatwright cause demo "orange peel"
      coatwright cause roadster.toml runs --area near-side-door
      coatwright cause demo --found lamp-before-flash=no

    \b
    Exit codes:
      0  fine
      2  an answer is to no check of this defect
      3  the file cannot be read, or holds something that is no event
      4  no such job, area or defect
      8  the record cannot be read
    """
    from coatwright.actions.asking import causes

    asked = causes.Asked(defect, area, patch, product, _answers(found or ()))
    told = causes.why_from(job, asked)
    words = Words(units.value)
    if json:
        from coatwright.faces.arranged.machine import as_json

        typer.echo(as_json(told, words))
        return
    from coatwright.faces.cli.output import Printer

    _tell(told, Printer(words))


def _answers(found: "list[str] | tuple[str, ...]") -> dict[str, bool]:
    answers = {}
    for text in found:
        key, _, said = text.partition("=")
        if said not in _ANSWERS:
            raise InputError(f"'{text}' is no answer", instead="write CHECK=yes or CHECK=no")
        answers[key] = _ANSWERS[said]
    return answers


def _tell(told: "Diagnosis", out: "Printer") -> None:
    defect = told.defect
    where = ", ".join(part for part in (told.area, told.product) if part)
    out.heading(f"{defect.title.capitalize()}: {where}, {clock(told.at.isoformat())}")
    out.say(defect.look)
    if not told.explained:
        out.say("Nothing in the record explains it.")
    likely = _worth_telling(told)
    for number, one in enumerate(likely, start=1):
        _tell_cause(one, number, out)
    others = [one for one in told.causes if one not in likely]
    if others:
        out.heading("Less likely")
    for one in others:
        out.say(f"{one.cause.title} ({out.words.chance(one.chance)})", 2, 2)
        _tell_evidence(one, 4, out)
    if told.checks:
        out.heading("What to find out next")
        out.listed(_check(one, out.words) for one in told.checks[:_SHOWN])
    if told.not_recorded:
        titles = dict.fromkeys(one.sign.title for one in told.not_recorded)
        out.say("")
        out.say(f"Not recorded: {'; '.join(titles)}.")
    if defect.caution:
        out.say("")
        out.say(f"! {defect.caution}", 0, 2)


def _worth_telling(told: "Diagnosis") -> "list[Ranked]":
    """The causes named, or the likeliest; one that is hardly possible only if it is the first."""
    likely = [one for one in told.causes if one.blamed or one.chance.value >= _LIKELY]
    return likely[:_SHOWN] or list(told.causes[:1])


def _tell_cause(one: "Ranked", number: int, out: "Printer") -> None:
    words = out.words
    out.heading(f"{number}. {one.cause.title} ({words.chance(one.chance)})")
    _tell_evidence(one, 2, out)
    out.say(f"Now: {one.cause.remedy}", 2, 2)
    out.say(f"Next time: {one.cause.change}", 2, 2)
    if one.next:
        out.say(f"Check: {_check(one.next, words)}", 2, 2)


def _tell_evidence(one: "Ranked", indent: int, out: "Printer") -> None:
    from coatwright.faces.arranged.evidence import evidence

    for sign, found in (("+", one.speaks_for), ("-", one.speaks_against), ("?", one.unsure)):
        for item in found:
            out.say(f"{sign} {evidence(item, out.words)}", indent, 2)
    for answer in one.answers:
        if answer.yes is not None:
            said = "yes" if answer.yes else "no"
            out.say(f"{'+' if answer.yes else '-'} {answer.check.do} {said}", indent, 2)
    for item in one.not_recorded:
        out.say(f"? {item.sign.title}: not recorded", indent, 2)


def _check(one: "NextCheck", words: Words) -> str:
    how = f" (--found {one.key}=yes or no)" if one.by_hand else ""
    return f"{one.do}{how} It should take away {words.chance(one.worth)} of the doubt."
