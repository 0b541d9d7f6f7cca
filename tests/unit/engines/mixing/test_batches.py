"""Splitting into mixes: cases worked out by hand. Volumes in mL here, SI inside."""

import math

import numpy as np
import pytest

from coatwright.engines.mixing.batches import (
    Clock,
    Mix,
    MixLimits,
    batches,
    mix_size,
    session_clock,
)
from coatwright.errors import RangeError

ML = 1e-6


def at_once(count: int) -> Clock:
    """A clock on which spraying takes no time."""
    return Clock(np.zeros(count), np.zeros(count))


def split(volumes: list[float], cup: float, **limits: float) -> tuple[Mix, ...]:
    scaled = np.array(volumes) * ML
    return batches(scaled, at_once(len(volumes)), MixLimits(capacity=cup * ML, **limits))


def sizes(mixes: tuple[Mix, ...]) -> list[int]:
    return [round(mix.size / ML) for mix in mixes]


def test_one_mix_serves_all_that_fits_the_cup() -> None:
    (mix,) = split([200, 300, 95], 1000)
    assert sizes((mix,)) == [600]
    assert mix.left == pytest.approx(5 * ML)
    assert [i for i, _ in mix.serves] == [0, 1, 2]
    assert not mix.splits


def test_an_item_larger_than_a_mix_is_split_evenly() -> None:
    mixes = split([2700], 1000)
    assert len(mixes) == 3
    assert max(sizes(mixes)) - min(sizes(mixes)) <= 50
    assert sum(used for mix in mixes for _, used in mix.serves) == pytest.approx(2700 * ML)
    assert [mix.splits for mix in mixes] == [True, True, False]


def test_with_the_same_number_of_mixes_no_area_is_cut_in_two() -> None:
    # 500 + 500 + 500 in a cup of 900: filled to the brim, the first mix would give out in area 2.
    mixes = split([500, 500, 300], 900)
    assert sizes(mixes) == [500, 800]
    assert not any(mix.splits for mix in mixes)


def test_fewer_mixes_come_before_whole_areas() -> None:
    # 600, 600, 600 in a cup of 1000: three whole mixes, or two with one change inside an area.
    mixes = split([600, 600, 600], 1000)
    assert len(mixes) == 2
    assert sum(mix.splits for mix in mixes) == 1


def test_pot_life_cuts_where_the_cup_would_not() -> None:
    # Three areas of 100 mL and 10 min each; 5 min from mixing to trigger, 16 min of life: one
    # area fits into a mix (15 min), two do not (25 min).
    clock = session_clock([600.0] * 3, [1, 1, 1], ["a", "b", "c"], 0.0)
    mixes = batches([1e-4] * 3, clock, MixLimits(1e-3, life=960.0, handling=300.0))
    assert [mix.serves[0][0] for mix in mixes] == [0, 1, 2]
    assert [mix.use_time for mix in mixes] == [900.0] * 3


def test_a_mix_that_waits_out_a_flash_ages_meanwhile() -> None:
    # One area, two coats of 5 min, 15 min of flash: 5 + 15 + 5 = 25 min, plus 5 before.
    clock = session_clock([300.0, 300.0], [1, 2], ["a", "a"], 900.0)
    (mix,) = batches([1e-4, 1e-4], clock, MixLimits(1e-3, life=1800.0, handling=300.0))
    assert mix.use_time == pytest.approx(1800.0)
    two = batches([1e-4, 1e-4], clock, MixLimits(1e-3, life=1799.0, handling=300.0))
    assert [mix.use_time for mix in two] == [600.0, 600.0]


def test_flash_is_spent_by_walking_round() -> None:
    clock = session_clock([400.0] * 4, [1, 1, 2, 2], ["a", "b", "a", "b"], 500.0)
    # a: 0-400, b: 400-800; a may go on at 900, ends 1300; b could at 1300.
    assert clock.begin.tolist() == [0.0, 400.0, 900.0, 1300.0]
    assert clock.end.tolist() == [400.0, 800.0, 1300.0, 1700.0]


def test_a_slow_item_is_cut_by_the_pot_life_inside_the_cut_spacing() -> None:
    # 40 mL in 40 min with 20 min of life after mixing: two mixes of 20 mL, though cuts inside an
    # item are 50 mL apart.
    mixes = batches([4e-5], Clock(np.array([0.0]), np.array([2400.0])), MixLimits(1e-3, 1200.0))
    assert sizes(mixes) == [20, 20]


def test_the_smallest_mix_the_scale_can_weigh() -> None:
    (mix,) = split([37], 1000, smallest=1e-4)
    assert mix.size == pytest.approx(1e-4)
    assert mix.left == pytest.approx(63 * ML)


def test_nothing_to_spray_needs_no_mix() -> None:
    assert split([0.0, 0.0], 1000) == ()
    assert batches([], at_once(0), MixLimits(1e-3)) == ()


def test_an_item_of_nothing_keeps_its_number() -> None:
    (mix,) = split([100, 0, 50], 1000)
    assert [i for i, _ in mix.serves] == [0, 2]


@pytest.mark.parametrize(
    ("used", "step", "smallest", "size"),
    [(101, 10, 0, 110), (100, 10, 0, 100), (1, 50, 0, 50), (12, 10, 80, 80)],
)
def test_a_mix_is_rounded_up(used: float, step: float, smallest: float, size: float) -> None:
    assert mix_size(used * ML, step * ML, smallest * ML) == pytest.approx(size * ML)


def test_fewest_mixes_is_the_volume_over_the_cup_when_nothing_spoils() -> None:
    volumes = [30.0, 1970.0, 11.0, 777.0, 212.0]
    assert len(split(volumes, 1000)) == math.ceil(sum(volumes) / 1000)


@pytest.mark.parametrize(
    ("volumes", "limits", "words"),
    [
        ([-1e-6], MixLimits(1e-3), "an item's volume is negative or not a number; give 0 or more"),
        (
            [1e-4],
            MixLimits(5e-6),
            "a cup of 5 mL cannot hold a mix of one step; use a cup of at least 10 mL",
        ),
        (
            [1e-4],
            MixLimits(1e-3, smallest=2e-3),
            "the smallest mix the scale can weigh, 2000 mL, does not fit the cup of 1000 mL; "
            "use a finer scale or a larger cup",
        ),
        (
            [1e-4],
            MixLimits(1e-3, life=1200.0, handling=1800.0),
            "the pot life of 20 min is over before the first trigger, 30 min after mixing; "
            "use a slower hardener or a cooler shop",
        ),
    ],
)
def test_what_cannot_be_is_said(volumes: list[float], limits: MixLimits, words: str) -> None:
    with pytest.raises(RangeError) as caught:
        batches(volumes, at_once(len(volumes)), limits)
    assert caught.value.sentence == words


def test_a_clock_that_goes_back_is_refused() -> None:
    with pytest.raises(RangeError, match="the clock of the items goes back"):
        batches([1e-4, 1e-4], Clock(np.array([10.0, 0.0]), np.array([20.0, 5.0])), MixLimits(1e-3))


def test_a_pot_life_that_would_need_endless_mixes_is_refused() -> None:
    clock = Clock(np.array([0.0]), np.array([1e6]))
    with pytest.raises(RangeError, match="more than 2000 mixes would be needed"):
        batches([1e-2], clock, MixLimits(1e-3, life=10.0))


def test_unequal_lists_are_refused() -> None:
    with pytest.raises(RangeError, match="differ in number"):
        session_clock([1.0], [1, 2], ["a", "b"], 0.0)
    with pytest.raises(RangeError, match="negative"):
        session_clock([-1.0], [1], ["a"], 0.0)
