"""Cutting a programme into sections that the air holds, with the rests between them.

Greedy: go on until the next pull of the trigger would fall below what is needed, rest, go on. Every
section starts from as full a receiver as a rest can give, and a fuller receiver never holds for
less, so that no other cut has fewer sections. What comes out is run again from end to end.
"""

import math
from dataclasses import dataclass

import numpy as np

from coatwright.engines.air._records import Cap, Kit, Limits, Programme, ReceiverState, Restriction
from coatwright.engines.air.line import at_inlet
from coatwright.engines.air.run import TOLERANCE, after, full, rest_time, simulate
from coatwright.errors import NotConverged, RangeError

_PLAY = 1e-6
_TRIES = 200


@dataclass(frozen=True, eq=False)
class Sections:
    """A cut programme: first phase of each section, rest before each [s], lowest pressure at the
    gun when all is run [Pa absolute], whole time [s].

    holds says whether that is enough; it is not where even a full receiver does not hold one pull.
    """

    first: tuple[int, ...]
    rests: tuple[float, ...]
    lowest: float
    time: float
    holds: bool


def _cap(phases: Programme) -> Cap:
    row = phases.caps[0]
    return Cap(Restriction(row[0], row[1]), Restriction(row[2], row[3]))


def sections(
    phases: Programme, kit: Kit, pressure: float, start: ReceiverState | None = None
) -> Sections:
    """Cut a programme of one gun so that the pressure at its inlet holds.

    Parameters
    ----------
    phases : Programme
        What the trigger would do in one go, with one cap.
    kit : Kit
        Line, receiver, pump.
    pressure : float [Pa]
        Needed at the gun's inlet, absolute.
    start : ReceiverState or None
        Where it begins; None: full.

    Returns
    -------
    Sections
        The fewest; the last rest is the shortest that will do.

    Raises
    ------
    RangeError
        If the programme has more than one cap, or the pressure is not above the open air's.

    Source
        derived: greedy, the state after a rest being the best there is.

    Checked
        tests/unit/engines/air/test_sections.py against every cut of short programmes.
    """
    if len(phases.caps) != 1:
        raise RangeError("sections are cut for one gun at a time")
    cap = _cap(phases)
    needed = at_inlet(kit.line, cap, pressure).receiver * (1.0 - _PLAY)
    state = start or full(kit)
    firsts, rests, done = [0], [0.0], 0
    for _ in range(_TRIES):
        fits, before_cut, end = _fitting(after(phases, done), kit, state, needed)
        if end is None:
            return _proved(phases, kit, (firsts, rests), pressure, start)
        if fits == 0 and len(firsts) > 1:
            return _broken(firsts, rests)
        rest = rest_time(kit, cap, before_cut)
        if not math.isfinite(rest):
            return _broken(firsts, rests)
        limits = Limits(0.0, kit.pump.cut_out * (1.0 - 1e-9), TOLERANCE, math.inf)
        quiet = Programme(np.array([rest]), np.array([-1]), phases.caps)
        state = simulate(quiet, kit, before_cut, limits).end
        done += fits
        firsts.append(done)
        rests.append(rest)
    raise NotConverged(f"more than {_TRIES} sections: the pump is far too small for this gun")


def _broken(firsts: list[int], rests: list[float]) -> Sections:
    return Sections(tuple(firsts), tuple(rests), math.nan, math.inf, False)


def _fitting(
    phases: Programme, kit: Kit, state: ReceiverState, needed: float
) -> tuple[int, ReceiverState, ReceiverState | None]:
    """How many phases hold, the state after them, and None if all do."""
    limits = Limits(needed, math.inf, TOLERANCE, math.inf)
    found = simulate(phases, kit, state, limits)
    if not found.stopped:
        return len(phases.seconds), found.end, None
    fits = len(found.seconds) - 1
    if fits == 0:
        return 0, state, found.end
    begun = Programme(phases.seconds[:fits], phases.which[:fits], phases.caps)
    return fits, simulate(begun, kit, state).end, found.end


def _with_rests(phases: Programme, firsts: list[int], rests: list[float]) -> Programme:
    seconds, which = list(phases.seconds), list(phases.which)
    for first, rest in reversed(list(zip(firsts, rests, strict=True))):
        if rest > 0.0:
            seconds.insert(first, rest)
            which.insert(first, -1)
    return Programme(np.array(seconds), np.array(which, dtype=np.int64), phases.caps)


def _proved(
    phases: Programme,
    kit: Kit,
    cut: tuple[list[int], list[float]],
    pressure: float,
    start: ReceiverState | None,
) -> Sections:
    """The cut run from end to end, its last rest as short as holds."""
    firsts, rests = cut
    enough = pressure * (1.0 - 2.0 * _PLAY)

    def lowest(last: float) -> tuple[float, float]:
        found = simulate(_with_rests(phases, firsts, [*rests[:-1], last]), kit, start)
        return float(np.nanmin(found.lowest)), found.time

    low, high = 0.0, rests[-1]
    if high > 0.0:
        for _ in range(20):
            middle = 0.5 * (low + high)
            low, high = (low, middle) if lowest(middle)[0] >= enough else (middle, high)
    least, time = lowest(high)
    return Sections(tuple(firsts), (*rests[:-1], high), least, time, least >= enough)
