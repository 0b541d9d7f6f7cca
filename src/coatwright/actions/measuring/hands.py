"""A person's hand from all that was measured of it in the shop, and a job planned with it."""

import re
import tomllib
from collections.abc import Iterator, Sequence
from dataclasses import dataclass
from typing import Any, Final

import numpy as np

from coatwright import units
from coatwright.actions.shop import Shop
from coatwright.engines import evidence
from coatwright.engines.evidence import Seen, Uneven
from coatwright.errors import InputError, NotFound, RangeError
from coatwright.figures import Figure
from coatwright.model.hand import Hand
from coatwright.planning.plan import StrokeRecipe
from coatwright.planning.strokes.spraying import Sprayed, spray
from coatwright.record.events import BoardRead, Described, Event, StrokesTimed, said
from coatwright.record.state import JobState, StrokeTest, WeighedBoard
from coatwright.sentences import joined, say

SOURCE: Final = "paint-record"

WORTH: Final = 6.0
"""What the job file holds of a hand is worth so many measurements (learning-classes)."""

FEW: Final = 2
"""With fewer sets beyond the first, what a coat has in common is not told apart (assumption)."""

MEASURED: Final = "measured"
"""How the source of a hand begins that was planned with what was measured."""

_BEFORE: Final = re.compile(r"([0-9.]+) % was held before")


@dataclass(frozen=True, slots=True)
class HandTold:
    """What is known of a hand. before, now: its spread of speed; stroke, common: the parts seen.

    sets, gauged, weighed: how many measurements of each kind there are, in all jobs of the shop.
    counts: the plan reckons with it.
    """

    key: str
    title: str
    before: Figure
    now: Figure
    stroke: Figure | None
    common: Figure | None
    sets: int
    gauged: int
    weighed: int
    counts: bool

    @property
    def measured(self) -> bool:
        """Whether there is anything to plan with."""
        return bool(self.sets or self.gauged or self.weighed)


def find_hand(shop: Shop, key: str, hand: str) -> Hand:
    """A hand of a job. Raises NotFound."""
    for one in shop.open(key).bench.job.hands:
        if one.key == hand:
            return one
    raise NotFound(f"there is no hand '{hand}' in this job")


def hand_told(shop: Shop, key: str, name: str) -> HandTold:
    """What all jobs of the shop have shown of a hand of this job. Raises NotFound."""
    hand = find_hand(shop, key, name)
    states = [shop.record.state(job) for job in shop.jobs()]
    strokes = [one for state in states for one in state.strokes if one.said.hand == name]
    uneven = _uneven(strokes)
    timed = [seen for one in uneven for seen in evidence.seen_in_strokes(one)]
    boards = [shown for state in states for one in state.gauged
              if one.said.hand == name and (shown := seen_on(one.said, hand))]  # fmt: skip
    weighed = _weighed(states, name)
    seen = [*timed, *boards, *weighed]
    held = _held(shop, key, hand)
    found = evidence.steadiness(Seen(held, WORTH), seen)
    now = Figure(
        found.spread.value, "fraction", "measured" if seen else "assumed",
        "normal-inverse-gamma" if seen else "job file",
        say("root of the mean variance of what was held and was measured, by degrees of freedom"),
        {"held before": Figure(held, "fraction", "entered", "job file")},
        (found.spread.low, found.spread.high),
    )  # fmt: skip
    return HandTold(
        name, hand.title, Figure(held, "fraction", "entered", "job file", hand.source), now,
        _part(uneven[0].stroke if uneven else None),
        _part(uneven[0].common if uneven and uneven[0].sets_freedom >= FEW else None),
        len(strokes), len(boards), sum(int(one.freedom) + 1 for one in weighed),
        bool(seen) and abs(hand.speed_spread - round(found.spread.value, 3)) < 5e-4,
    )  # fmt: skip


def seen_on(said: BoardRead, hand: Hand) -> Seen | None:
    """What a gauged board shows of a hand; None where its fan or pitch is not known.

    The wander of strokes off their line is taken as the job file has it: the plan draws it apart.
    """
    if said.fan is None or said.exponent is None or said.pitch is None:
        return None
    lap = evidence.Lap(said.fan, said.exponent, said.pitch)
    try:
        found = evidence.hand_from_board(board_of(said), lap, hand.aim_spread)
    except RangeError:
        return None
    return evidence.seen_in_board(found, said.coats)


def board_of(said: BoardRead) -> evidence.Board:
    """A board as the engine takes it."""
    films = np.asarray(said.readings).reshape(-1, said.columns) - said.zero
    gauge = evidence.Gauge(said.error, said.error_share)
    return evidence.Board(films, said.spacing, gauge)


def _uneven(tests: Sequence[StrokeTest]) -> list[Uneven]:
    """Strokes of all sets against the paces asked for; a set without one tells of itself alone."""
    asked = [one.said for one in tests if one.said.expected]
    found = [_together(asked)] if asked else []
    return found + [_together([one.said]) for one in tests if not one.said.expected]


def _together(sets: Sequence[StrokesTimed]) -> Uneven:
    asked = [one.length / (one.expected or 1.0) for one in sets]
    timing = max(one.timing for one in sets)
    return evidence.unevenness([one.seconds for one in sets], asked, timing)


def _weighed(states: Sequence[JobState], name: str) -> list[Seen]:
    """Boards weighed, against the film that each was to have; three of one number of strokes."""
    by_strokes: dict[int, list[WeighedBoard]] = {}
    for state in states:
        for one in state.weighed:
            if one.said.hand == name and one.said.wanted and one.said.after > one.said.before:
                by_strokes.setdefault(one.said.strokes, []).append(one)
    return [
        _of_weights(boards, strokes) for strokes, boards in by_strokes.items() if len(boards) > 2
    ]


def _of_weights(boards: Sequence[WeighedBoard], strokes: int) -> Seen:
    ratios, errors = [], []
    for one in boards:
        told = one.said
        film = evidence.film_from_weight(
            told.before, told.after, told.scale, evidence.Measured(told.density or 1.0, 0.0),
            told.surface,
        )  # fmt: skip
        ratios.append(film.mean / (told.wanted or 1.0))
        errors.append(film.share)
    found = evidence.hand_from_weights(ratios, float(np.mean(errors)), strokes)
    return evidence.seen_in_weights(found.value, len(boards), strokes)


def _part(spread: evidence.Range | None) -> Figure | None:
    if spread is None:
        return None
    return Figure(
        spread.value, "fraction", "measured", "variance-components", "",
        spread=(spread.low, spread.high),
    )  # fmt: skip


def _held(shop: Shop, key: str, hand: Hand) -> float:
    """What was held of a hand before anything was measured: as the job first had it.

    A description that was itself planned with measurements says what was held before them.
    """
    for event in shop.record.events(key, ("described",)):
        assert isinstance(event.body, Described)
        for told in _hands(event.body.file):
            if told.get("key") == hand.key:
                before = _BEFORE.search(str(told.get("source", "")))
                written = f"{before[1]} %" if before else str(told.get("speed_spread"))
                return units.parse(written, "fraction")
    return hand.speed_spread


def _hands(file: str) -> Iterator[dict[str, Any]]:
    found = tomllib.loads(file).get("hands", ())
    yield from (one for one in found if isinstance(one, dict))


def keep_hand(shop: Shop, key: str, who: str, name: str) -> Event:
    """Plan the job with what was measured of a hand. Raises InputError if nothing was."""
    told, hand = hand_told(shop, key, name), find_hand(shop, key, name)
    if not told.measured:
        raise InputError(
            "nothing was measured of this hand", instead="time strokes, or read a board"
        )
    place = "hands", [one.key for one in shop.open(key).bench.job.hands].index(name)
    changed = _measured(hand, told)
    event = said(key, who, shop.clock(), Described(file="-", what=f"{hand.title}, as measured"))
    return shop.change(key, place, changed, event)


def _measured(hand: Hand, told: HandTold) -> Hand:
    parts = [
        f"{count} {noun}" for count, noun in (
            (told.sets, "sets of strokes"), (told.gauged, "boards gauged"),
            (told.weighed, "boards weighed"),
        ) if count
    ]  # fmt: skip
    source = f"{MEASURED}: {', '.join(parts)}; {told.before.value * 100:g} % was held before"
    return hand.model_copy(update={"speed_spread": round(told.now.value, 3), "source": source})


def planned_with(shop: Shop, key: str, recipe: str, name: str) -> tuple[StrokeRecipe, StrokeRecipe]:
    """A recipe as planned, and solved anew in a hand as it was measured. Raises NotFound."""
    found = find_recipe(shop, key, recipe)
    hand = _measured(find_hand(shop, key, name), hand_told(shop, key, name))
    job = shop.open(key).bench.job
    return found.card, spray(found.layering, job, None, hand).card


def find_recipe(shop: Shop, key: str, recipe: str) -> Sprayed:
    """A recipe of the plan by its key; the first if "" is asked for. Raises NotFound."""
    sprayed = shop.built(key).asked.sprayed.values()
    for one in sprayed:
        if recipe in ("", one.card.key):
            return one
    raise NotFound(f"there is no recipe '{recipe}' in this job")


def recipe_titles(shop: Shop, key: str) -> dict[str, str]:
    """Every recipe of a job with the title of its area and product."""
    return {
        one.card.key: joined(": ", (one.layering.area.title, one.layering.material.title))
        for one in shop.built(key).asked.sprayed.values()
    }
