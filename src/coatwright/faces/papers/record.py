"""The paint record for the owner as a paper."""

from collections.abc import Callable, Iterable, Iterator, Mapping, Sequence
from datetime import datetime
from typing import Any, Final

from coatwright.actions.dossier.told import (
    AreaTold,
    CoatTold,
    Dossier,
    Entry,
    ExtraTold,
    HandoverTold,
    LayerTold,
    MixTold,
    Over,
    PatchTold,
    ReadTold,
    Recoat,
)
from coatwright.errors import CoatwrightError
from coatwright.faces.arranged.contents import anchor, capital, sentence
from coatwright.faces.drawing.section import describe, section_scale, section_svg
from coatwright.faces.format import SPACE, Words
from coatwright.faces.papers.area_map import Field, area_map
from coatwright.faces.papers.plan.front import cautions
from coatwright.faces.papers.press import Paper, code, press, prints
from coatwright.faces.papers.setting import Told, polished
from coatwright.figures import Figure
from coatwright.planning.plan import SectionBand
from coatwright.sentences import Said, joined, say
from coatwright.units import express

INVENTED: Final = say(
    "Invented. Nobody's vehicle: job, shop, people, readings and dates are made up to show what a "
    "paint record looks like."
)
_KINDS: Final = {b"\xff\xd8\xff": "jpg", b"\x89PNG": "png"}
_TALL: Final = 170.0
"""Height of the tallest section in units of the drawing."""

Attached = Callable[[str], bytes]
"""Reads an attached file by its SHA-256."""


def record_pdf(
    dossier: Dossier,
    words: Words,
    paper: Paper = "a4",
    address: str = "",
    attached: Attached | None = None,
) -> bytes:
    """The paint record as PDF. address: of the same in the workshop's own app."""
    pictures = dict(_pictures(dossier, attached)) if attached else {}
    data = record_data(dossier, words, address, tuple(pictures))
    return press("record", data, paper, pictures, words.tongue)


def _pictures(dossier: Dossier, attached: Attached) -> Iterator[tuple[str, bytes]]:
    """Photographs that can be printed, by the name the paper calls them."""
    for photo in dossier.photos:
        try:
            data = attached(photo.sha256)
        except CoatwrightError:  # said on the paper: the file is not there
            continue
        kind = next((kind for head, kind in _KINDS.items() if data.startswith(head)), "")
        name = f"{photo.sha256}.{kind}"
        if kind and prints(name, data):
            yield name, data


def record_data(
    dossier: Dossier, words: Words, address: str = "", pictures: Sequence[str] = ()
) -> dict[str, Any]:
    """Every text of the paint record; pictures: names of the photographs at hand."""
    told, when = Told(words), _When(dossier.made, words)
    patches = [patch for area in dossier.areas for patch in area.patches]
    scale = section_scale([bands for one in patches for bands in (one.planned, one.found)], _TALL)
    numbers = {area.key: number for number, area in enumerate(dossier.areas, start=1)}
    foot = f"{dossier.title} · {dossier.shop}"
    made: dict[str, Any] = polished({
        "title": say("{job}: paint record", job=dossier.title),
        "kind": say("Paint record"),
        "job": dossier.title,
        "foot": say("{title} · invented", title=foot) if dossier.invented else foot,
        "notice": INVENTED if dossier.invented else "",
        "address": address,
        "svg": code(address) if address else "",
        "facts": _facts(dossier, told, when),
        "map": _map(dossier, told),
        "areas": [_area(area, numbers[area.key], told, when, scale) for area in dossier.areas
                  if any(patch.layers or patch.readings for patch in area.patches)],
        "mixes": [_mix(mix, told, when) for mix in dossier.mixes],
        "entries": [_entry(entry, when) for entry in dossier.entries],
        "photos": _photos(dossier, pictures, when),
        "extras": [_extra(extra, told, when) for extra in dossier.extras],
        "handover": _handover(dossier.handover, when),
        "care": [{"title": one.title, "text": one.text} for one in dossier.care],
        "recoats": [_recoat(one, told, when) for one in dossier.recoats],
        "cautions": cautions(dossier.cautions),
        "doubts": [sentence(text) for text in dossier.doubts],
        "zone": when.zone,
        "reading": say(
            "Moments are in {zone}. Figures in brackets: the range the true film is likely to lie "
            "in, unless said otherwise.",
            zone=when.zone,
        ),
    }, words)  # fmt: skip
    return made


class _When:
    """Moments as the shop's clock showed them."""

    def __init__(self, made: datetime, words: Words) -> None:
        self._zone = made.tzinfo
        self._words = words
        self.zone = f"{made:%Z}" or say("the shop's own time")

    def __call__(self, moment: datetime | None) -> str:
        if moment is None:
            return ""
        return self._words.moment(moment.astimezone(self._zone))

    def hour(self, moment: datetime) -> str:
        """Without the year."""
        return self._words.clock(f"{moment.astimezone(self._zone):%Y-%m-%d %H:%M}")

    def day(self, moment: datetime | None) -> str:
        """The day alone."""
        if moment is None:
            return say("nothing laid yet")
        return self._words.day(moment.astimezone(self._zone))


def _facts(dossier: Dossier, told: Told, when: _When) -> list[tuple[str, Any]]:
    first, last = when.day(dossier.first), when.day(dossier.last)
    return [
        (say("For"), dossier.owner),
        (say("Painted by"), ", ".join(dossier.people) or dossier.painter),
        (say("Workshop"), dossier.shop),
        (say("Colour"), dossier.colour or say("not named")),
        (say("Surface"), told(dossier.surface)),
        (
            say("First to last coat"),
            say("{first} to {last}", first=first, last=last) if dossier.first else first,
        ),
        (say("Taken over"), _taken(dossier.handover, when) or say("not yet")),
        (say("As it stood on"), when.day(dossier.made)),
        (say("Rests on"), say("{count} notes made while the work was done", count=dossier.events)),
    ]


def _map(dossier: Dossier, told: Told) -> dict[str, Any]:
    fields = [
        Field(number, area.surface.value if area.surface else 0.0, _painted(area))
        for number, area in enumerate(dossier.areas, start=1)
    ]
    rows = [
        (str(number), area.title, told.brief(area.surface), _systems(area))
        for number, area in enumerate(dossier.areas, start=1)
    ]
    alt = "; ".join(f"{number} {title}" for number, title, *_ in rows)
    drawn = area_map(fields, alt, told.words.say("Map of areas"))
    return {
        "svg": drawn,
        "alt": say("Areas to one scale of surface: {areas}.", areas=alt),
        "rows": rows,
    }


def _painted(area: AreaTold) -> bool:
    return any(patch.layers for patch in area.patches)


def _systems(area: AreaTold) -> str:
    """What lies on it, metal outwards, each build-up once."""
    found = [joined(", ", (layer.title for layer in patch.layers)) for patch in area.patches]
    return joined("; ", dict.fromkeys(filter(None, found))) or say("nothing in the record")


def _area(area: AreaTold, number: int, told: Told, when: _When, scale: float) -> dict[str, Any]:
    return {
        "title": f"{number}. {area.title}",
        "patches": [
            _patch(patch, anchor("record", area.key, patch.key), told, when, scale)
            for patch in area.patches
        ],
    }


def _patch(patch: PatchTold, name: str, told: Told, when: _When, scale: float) -> dict[str, Any]:
    size = (told.words.brief(patch.surface),) if patch.surface else ()
    planned = (f"{name}-p", patch.ground, patch.planned, patch.planned_total, told.words, scale)
    found = (f"{name}-f", patch.ground, patch.found, patch.found_total, told.words, scale)
    return {
        "title": joined(", ", (capital(patch.title), *size)),
        "planned": _section(*planned) if patch.planned else None,
        "found": _section(*found) if patch.found else None,
        "missing": patch.missing,
        "layers": [_layer(layer, told, when) for layer in patch.layers],
        "coats": [row for layer in patch.layers for row in _coats(layer, told, when)],
        "rubs": [row for layer in patch.layers for row in _rubs(layer, told, when)],
        "readings": [_reading(one, told, when) for one in patch.readings],
    }


def _section(
    name: str, ground: str, bands: Sequence[SectionBand], total: Any, words: Words, scale: float
) -> dict[str, str]:
    return {
        "svg": section_svg(name, ground, bands, total, words, scale),
        "alt": describe(bands, words),
    }


def _layer(layer: LayerTold, told: Told, when: _When) -> tuple[Any, ...]:
    found = told(layer.found) if layer.found else say("not measured")
    return (
        capital(layer.title), str(len(layer.coats)), when.hour(layer.coats[-1].at),
        when.day(layer.hard) if layer.hard else say("not known"),
        told(layer.planned) if layer.planned else say("no plan"), found, str(layer.readings),
    )  # fmt: skip


def _coats(layer: LayerTold, told: Told, when: _When) -> Iterator[tuple[Any, ...]]:
    for coat in layer.coats:
        yield (
            say("{layer!c}, coat\N{NO-BREAK SPACE}{number}", layer=layer.title, number=coat.number),
            when.hour(coat.at),
            coat.who,
            coat.mix or say("not noted"),
            told.brief(coat.air) or say("not read"),
            told.brief(coat.metal) or say("not read"),
            told.brief(coat.humidity) or say("not read"),
            _sprayed(coat, told),
        )


def _sprayed(coat: CoatTold, told: Told) -> str:
    said: list[str] = []
    if coat.used:
        said.append(say("{mass} of paint", mass=told.words.brief(coat.used)))
    if coat.wet:
        said.append(say("wet {film}", film=told.words.text(coat.wet)))
    if coat.note:
        said.append(coat.note)
    return joined("; ", said)


def _rubs(layer: LayerTold, told: Told, when: _When) -> Iterator[tuple[Any, ...]]:
    for rub in layer.rubbed:
        took = told.brief(rub.took) if rub.took else say("not noted")
        yield (joined(", ", (capital(layer.title), rub.how)), took, when(rub.at), rub.who)
    for broke in layer.broke:
        size = _spot(broke.surface, told) if broke.surface else ""
        yield (
            say("{layer!c}: rubbed through to {ground}", layer=layer.title, ground=broke.ground),
            size, when(broke.at), broke.who,
        )  # fmt: skip


def _spot(surface: Figure, told: Told) -> str:
    """A small surface, in the unit a person would say."""
    symbol = "cm2" if told.words.system == "metric" else "in2"
    number = told.words.fixed(express(surface.value, symbol, "area"), 0)
    return f"{number}{SPACE}{symbol[:-1]}²"


def _reading(one: ReadTold, told: Told, when: _When) -> dict[str, str]:
    words = told.words
    wanted = say(", at least {film} wanted", film=words.brief(one.wanted)) if one.wanted else ""
    unmet = (
        say("not so: {clause} ({found} against {limit})", clause=Said(clause.says),
            found=words.brief(clause.found), limit=words.brief(clause.limit))
        for clause in one.unmet
    )  # fmt: skip
    why = joined("; ", filter(None, (one.why, *unmet)))
    verdict = joined(": ", (one.rule, Said(one.verdict)))
    return {
        "verdict": sentence(joined(", ", filter(None, (verdict, why)))),
        "text": say(
            "{count} readings, mean {film}, least and most in brackets{wanted}. {at}, {who}.",
            count=one.count, film=words.text(one.film), wanted=wanted, at=when(one.at),
            who=one.who,
        ),
    }  # fmt: skip


def _mix(mix: MixTold, told: Told, when: _When) -> dict[str, Any]:
    brief = told.words.brief
    said: list[str] = []
    if mix.cup_seconds:
        seconds = brief(mix.cup_seconds)
        said.append(
            say("{seconds} in the {cup} cup", seconds=seconds, cup=mix.cup)
            if mix.cup
            else say("{seconds} in the flow cup", seconds=seconds)
        )
    if mix.temperature:
        said.append(say("paint at {temperature}", temperature=brief(mix.temperature)))
    if mix.pot_life:
        said.append(say("pot life {pot_life}", pot_life=brief(mix.pot_life)))
    made = f"{when(mix.at)}, {mix.who}. "
    return {
        "title": joined(": ", (mix.key, mix.title)),
        "text": joined("", (made, sentence(joined(", ", said)))),
        "rows": [
            (capital(tin.title), tin.lot or say("not noted"), tin.expiry or say("not noted"),
             told.brief(tin.poured), told.brief(tin.wanted))
            for tin in mix.tins
        ],
    }  # fmt: skip


def _entry(entry: Entry, when: _When) -> tuple[str, str, str, str]:
    return (when(entry.at), capital(entry.place), capital(entry.what), entry.who)


def _photos(dossier: Dossier, pictures: Sequence[str], when: _When) -> list[dict[str, str]]:
    at_hand: Mapping[str, str] = {name.split(".")[0]: name for name in pictures}
    return [
        {
            "name": at_hand.get(photo.sha256, ""),
            "caption": capital(photo.caption),
            "text": joined(", ", (photo.place, when(photo.at), photo.who)),
            "sha": photo.sha256[:16],
        }
        for photo in dossier.photos
    ]


_STANDS: Final = {
    "proposed": say("No answer yet."),
    "approved": say("Agreed."),
    "refused": say("Refused."),
}


def _extra(extra: ExtraTold, told: Told, when: _When) -> dict[str, Any]:
    return {
        "title": extra.title,
        "text": say(
            "{reason} {price}, put to the owner {at}. {stands}",
            reason=sentence(extra.reason), price=told.words.text(extra.price), at=when(extra.at),
            stands=_STANDS[extra.status],
        ),
        "answers": [
            say("{who}: {what}, {at}", who=one.who, what=one.what, at=when(one.at))
            for one in extra.answers
        ],
    }  # fmt: skip


def _taken(told: HandoverTold, when: _When) -> str:
    """By whom, when and how; "" if nobody has."""
    return joined(", ", filter(None, (told.by, when(told.at), told.how)))


def _handover(told: HandoverTold, when: _When) -> dict[str, Any]:
    since = say("Since then: {count} noted.", count=len(told.since)) if told.since else ""
    return {
        "taken": _taken(told, when),
        "remarks": told.remarks or say("Nothing was remarked."),
        "finished": sentence(
            say("The shop says that the work is finished; {said}", said=told.finished)
        ) if told.finished else "",
        "since": since,
        "after": [_entry(one, when) for one in told.since],
        "open": [_entry(one, when) for one in told.defects],
        "blank": not told.by or bool(told.since),
    }  # fmt: skip


def _recoat(one: Recoat, told: Told, when: _When) -> dict[str, Any]:
    yes = [over.title for over in one.over if over.verdict == "yes"]
    may = say("By the rules these may go over it as it is: {titles}.", titles=joined(", ", yes))
    return {
        "stack": capital(joined(", ", one.stack)),
        "places": "; ".join(one.places) + ".",
        "age": say(
            "Last coat {day}, {age} before this was printed.",
            day=when.day(one.last),
            age=told.words.brief(one.age),
        ),
        "yes": may if yes else "",
        "rows": list(_overs(over for over in one.over if over.verdict != "yes")),
    }


def _overs(overs: Iterable[Over]) -> Iterator[tuple[str, str]]:
    """Kinds of coating with the same answer stand in one row."""
    words = {"yes if": say("Yes, if"), "no": say("Not as it is")}
    found: dict[str, list[str]] = {}
    for over in overs:
        said = joined(": ", filter(None, (words[over.verdict], over.text)))
        found.setdefault(said, []).append(over.title)
    for text, titles in found.items():
        yield capital(joined("; ", titles)), text
