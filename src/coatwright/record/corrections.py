"""Events as they stand once every correction is followed.

A correction that says what should have stood there replaces body, moment and place of the event it
names; one without a body strikes it out. A correction of a correction takes that one's place, or,
without a body, takes it back: then the one before it counts, or the event itself. Of several
corrections of one event the latest that stands counts.
"""

from collections import defaultdict
from collections.abc import Iterable, Mapping, Sequence
from datetime import datetime
from typing import NamedTuple, Protocol

from coatwright.record.events import Corrected, Happened
from coatwright.record.state import Amendment, Place
from coatwright.sentences import say

_UNKNOWN = say("corrects an event that is not in the record")
_RING = say("is one of several corrections that only name each other")


class Happening(Protocol):
    """What folding needs of an event: an Event, or an Entry read from the store."""

    @property
    def id(self) -> str: ...  # noqa: D102
    @property
    def at(self) -> datetime: ...  # noqa: D102
    @property
    def who(self) -> str: ...  # noqa: D102
    @property
    def body(self) -> Happened | Corrected: ...  # noqa: D102
    @property
    def area(self) -> str: ...  # noqa: D102
    @property
    def patch(self) -> str: ...  # noqa: D102
    @property
    def evidence(self) -> tuple[str, ...]: ...  # noqa: D102
    @property
    def plan(self) -> str: ...  # noqa: D102
    @property
    def number(self) -> int: ...  # noqa: D102


class Entry(NamedTuple):
    """An event without the checks: of the store's own rows, or as corrected."""

    id: str
    at: datetime
    who: str
    body: Happened | Corrected
    area: str
    patch: str
    evidence: tuple[str, ...]
    plan: str
    number: int


class Standing(NamedTuple):
    """The events that count, in the order they happened, and the corrections."""

    events: Sequence[Happening]
    amendments: tuple[Amendment, ...]


class _Verdict(NamedTuple):
    """What a correction says in the end; body None strikes out."""

    body: Happened | None
    at: datetime | None
    area: str | None
    patch: str | None


class _Claim(NamedTuple):
    """A correction: the event that holds it, and its body."""

    event: Happening
    body: Corrected


def standing(events: Iterable[Happening]) -> Standing:
    """Follow every correction, and put what is left in order of the moment, then the number."""
    given = list(events)
    claims = [_Claim(one, one.body) for one in given if isinstance(one.body, Corrected)]
    if not claims:
        return Standing(sorted(given, key=in_order), ())
    claims.sort(key=lambda claim: in_order(claim.event))
    known = {one.id for one in given}
    winners, verdicts = _settle(claims)
    counted = [
        _amended(one, winners, verdicts) for one in given if not isinstance(one.body, Corrected)
    ]
    amendments = tuple(_told(claim, known, winners, verdicts) for claim in claims)
    return Standing(sorted((one for one in counted if one), key=in_order), amendments)


def in_order(event: Happening) -> tuple[datetime, int]:
    """Key that puts events in the order they happened."""
    return event.at, event.number


def _settle(
    claims: Sequence[_Claim],
) -> tuple[dict[str, str], dict[str, _Verdict | None]]:
    """By event: the correction that counts. By correction: its verdict, None if it was taken back.

    A correction is settled once all those that correct it are; what is never settled is in a ring.
    """
    against: dict[str, list[str]] = defaultdict(list)
    for claim in claims:
        against[claim.body.event].append(claim.event.id)
    own = {claim.event.id: claim for claim in claims}
    open_yet = {name: len(against.get(name, ())) for name in own}
    ready = [name for name, count in open_yet.items() if count == 0]
    verdicts: dict[str, _Verdict | None] = {}
    while ready:
        name = ready.pop()
        verdicts[name] = _verdict(own[name], _winner(against.get(name, ()), verdicts), verdicts)
        target = own[name].body.event
        if target in open_yet:
            open_yet[target] -= 1
            if open_yet[target] == 0:
                ready.append(target)
    winners = {name: _winner(rivals, verdicts) for name, rivals in against.items()}
    return {name: one for name, one in winners.items() if one is not None}, verdicts


def _winner(rivals: Sequence[str], verdicts: Mapping[str, _Verdict | None]) -> str | None:
    """The latest of the corrections of one event that stands."""
    return next((one for one in reversed(rivals) if verdicts.get(one) is not None), None)


def _verdict(
    claim: _Claim, winner: str | None, verdicts: Mapping[str, _Verdict | None]
) -> _Verdict | None:
    said = claim.body
    own = _Verdict(said.body, said.at, said.area, said.patch)
    better = verdicts[winner] if winner is not None else None
    if better is None:
        return own
    if better.body is None:
        return None
    return _Verdict(
        better.body,
        own.at if better.at is None else better.at,
        own.area if better.area is None else better.area,
        own.patch if better.patch is None else better.patch,
    )


def _amended(
    event: Happening, winners: Mapping[str, str], verdicts: Mapping[str, _Verdict | None]
) -> Happening | None:
    """The event as it stands; None if it was struck out."""
    winner = winners.get(event.id)
    verdict = verdicts[winner] if winner is not None else None
    if verdict is None:
        return event
    if verdict.body is None:
        return None
    return Entry(
        event.id,
        event.at if verdict.at is None else verdict.at,
        event.who,
        verdict.body,
        event.area if verdict.area is None else verdict.area,
        event.patch if verdict.patch is None else verdict.patch,
        event.evidence,
        event.plan,
        event.number,
    )


def _told(
    claim: _Claim,
    known: set[str],
    winners: Mapping[str, str],
    verdicts: Mapping[str, _Verdict | None],
) -> Amendment:
    event, said = claim
    fault = "" if said.event in known else _UNKNOWN
    fault = fault if event.id in verdicts else _RING
    return Amendment(
        place_of(event),
        said.event,
        said.why,
        struck=said.body is None,
        counts=not fault and winners.get(said.event) == event.id,
        fault=fault,
    )


def place_of(event: Happening) -> Place:
    """Where, when and by whom."""
    return Place(event.id, event.at, event.who, event.area, event.patch, event.evidence)
