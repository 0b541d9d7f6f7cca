"""Sections: they hold, and no cut of a short programme has fewer."""

from itertools import combinations

import numpy as np
import pytest

from coatwright.engines import air
from coatwright.errors import RangeError
from unit.engines.air.lines import CONVENTIONAL, HVLP, PUMP, kit, line, strokes

WEAK = kit(0.024, own=air.with_setting(line(), HVLP, 3e5), pump=PUMP._replace(delivery=2e-3))
NEEDED = 3e5


def with_rests(phases, firsts, rest):
    """The programme with so much rest before each of those phases."""
    seconds, which = list(phases.seconds), list(phases.which)
    for first in sorted(firsts, reverse=True):
        seconds.insert(first, rest)
        which.insert(first, -1)
    return air.Programme(np.array(seconds), np.array(which), phases.caps)


def holds(phases, own):
    return np.nanmin(air.simulate(phases, own).lowest) >= NEEDED * (1 - 1e-5)


def test_one_section_if_it_holds_in_one_go():
    found = air.sections(strokes(2), kit(0.5, own=WEAK.line), NEEDED)
    assert (found.first, found.rests, found.holds) == ((0,), (0.0,), True)


@pytest.mark.parametrize(("count", "pull"), [(16, 4.0), (9, 7.0)])
def test_sections_hold_and_none_could_be_spared(count, pull):
    """Every way to rest at fewer places, each long enough to fill the receiver, fails."""
    phases = strokes(count, pull)
    found = air.sections(phases, WEAK, NEEDED)
    assert found.holds
    assert len(found.first) > 2
    assert found.lowest >= NEEDED * (1 - 1e-5)
    places = [i for i in range(2, len(phases.seconds)) if phases.which[i] >= 0]
    for fewer in range(len(found.first) - 1):
        for cut in combinations(places, fewer):
            assert not holds(with_rests(phases, cut, 300.0), WEAK)


def test_the_last_rest_is_no_longer_than_it_must_be():
    phases = strokes(9)
    found = air.sections(phases, WEAK, NEEDED)
    short = (*found.rests[:-1], found.rests[-1] - 0.5)
    own = list(zip(found.first[1:], short[1:], strict=True))
    seconds, which = list(phases.seconds), list(phases.which)
    for first, rest in reversed(own):
        seconds.insert(first, rest)
        which.insert(first, -1)
    assert not holds(air.Programme(np.array(seconds), np.array(which), phases.caps), WEAK)


def test_a_stroke_that_even_a_full_receiver_does_not_carry():
    found = air.sections(strokes(3, 60.0), WEAK, NEEDED)
    assert not found.holds


def test_it_may_begin_half_empty():
    start = air.ReceiverState(6.1e5, 293.15, False, 0.0)
    found = air.sections(strokes(4), WEAK, NEEDED, start)
    assert found.holds
    assert len(found.first) >= len(air.sections(strokes(4), WEAK, NEEDED).first)


def test_one_gun_at_a_time():
    two = air.programme([1.0, 1.0], [0, 1], [HVLP, CONVENTIONAL])
    with pytest.raises(RangeError, match="one gun at a time"):
        air.sections(two, WEAK, NEEDED)
