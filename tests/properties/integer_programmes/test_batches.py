"""Mixes against brute force, an integer programme in HiGHS, and a simple greedy."""

import itertools
import math

import numpy as np
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st
from scipy.optimize import Bounds, LinearConstraint, milp

from coatwright.engines.mixing.batches import (
    Clock,
    Mix,
    MixLimits,
    batches,
    mix_size,
    session_clock,
)

ML = 1e-6
STEP = 10


@st.composite
def work(draw: st.DrawFn, most: int = 12, largest: int = 1500) -> tuple[list[int], Clock, float]:
    """Volumes [mL], their clock and a pot life that always allows some spraying."""
    areas = draw(st.integers(1, 4))
    coats = draw(st.integers(1, max(1, most // areas)))
    volumes = draw(
        st.lists(st.integers(5, largest), min_size=areas * coats, max_size=areas * coats)
    )
    pace = draw(st.sampled_from([0.1, 0.3, 1.0]))
    flash = draw(st.sampled_from([0.0, 300.0, 900.0]))
    clock = session_clock(
        [volume * pace for volume in volumes],
        [i // areas + 1 for i in range(len(volumes))],
        [str(i % areas) for i in range(len(volumes))],
        flash,
    )
    life = draw(st.sampled_from([900.0, 1800.0, 3600.0, math.inf]))
    return volumes, clock, life


def limits_of(cup: int, life: float, cut: int = 50) -> MixLimits:
    return MixLimits(cup * ML, life, 300.0, STEP * ML, cut * ML)


def score(mixes: tuple[Mix, ...]) -> tuple[int, int, int]:
    left = sum(round(mix.left / ML * 1000) for mix in mixes)
    return len(mixes), sum(mix.splits for mix in mixes), left


@given(work(), st.sampled_from([200, 500, 1000]))
@settings(max_examples=150, deadline=None)
def test_mixes_serve_everything_in_order_within_cup_and_pot_life(
    given_work: tuple[list[int], Clock, float], cup: int
) -> None:
    volumes, clock, life = given_work
    mixes = batches(np.array(volumes) * ML, clock, limits_of(cup, life))
    served = np.zeros(len(volumes))
    order = [item for mix in mixes for item, _ in mix.serves]
    for mix in mixes:
        for item, volume in mix.serves:
            served[item] += volume
    np.testing.assert_allclose(served, np.array(volumes) * ML, rtol=0, atol=1e-8)
    assert order == sorted(order)
    for mix in mixes:
        assert 0 < mix.used <= mix.size + 2e-9
        assert mix.size <= cup * ML * (1 + 1e-9)
        assert mix.use_time <= life + 1e-3
        assert abs(mix.size / (STEP * ML) - round(mix.size / (STEP * ML))) < 1e-6


def brim_count(volumes: list[int], clock: Clock, cup: int, life: float) -> int:
    """Fill every mix to the brim, use it until cup or life ends; 1 mL at a time."""
    count, used, opened = 0, math.inf, 0.0
    for volume, begin, end in zip(volumes, clock.begin, clock.end, strict=True):
        for drop in range(volume):
            now = begin + (end - begin) * drop / volume
            after = begin + (end - begin) * (drop + 1) / volume
            if used + 1 > cup or 300.0 + after - opened > life + 1e-6:
                count, used, opened = count + 1, 0, now
            used += 1
    return count


@given(work(), st.sampled_from([200, 500, 1000]))
@settings(max_examples=100, deadline=None)
def test_never_more_mixes_than_filling_each_to_the_brim(
    given_work: tuple[list[int], Clock, float], cup: int
) -> None:
    volumes, clock, life = given_work
    mixes = batches(np.array(volumes) * ML, clock, limits_of(cup, life))
    assert len(mixes) <= brim_count(volumes, clock, cup, life)
    assert len(mixes) >= math.ceil(sum(volumes) / cup)


def next_fit(volumes: list[int], cup: int) -> tuple[int, int, int]:
    """A simple greedy: whole areas into a mix while they fit; larger ones by the cupful."""
    mixes, splits, left, held = 0, 0, 0, 0

    def close() -> None:
        nonlocal mixes, left, held
        if held:
            mixes, left = mixes + 1, left + (-held % STEP) * 1000
            held = 0

    for volume in volumes:
        if held + volume > cup:
            close()
        while volume > cup:
            mixes, splits, volume = mixes + 1, splits + 1, volume - cup
        held += volume
    close()
    return mixes, splits, left


@given(st.lists(st.integers(5, 2500), min_size=1, max_size=30), st.sampled_from([500, 1000]))
@settings(max_examples=150, deadline=None)
def test_never_worse_than_a_simple_greedy(volumes: list[int], cup: int) -> None:
    count = len(volumes)
    clock = Clock(np.zeros(count), np.zeros(count))
    mixes = batches(np.array(volumes) * ML, clock, limits_of(cup, math.inf))
    assert score(mixes)[:2] <= next_fit(volumes, cup)[:2]


def pieces(volumes: list[int], clock: Clock, cut: int) -> list[tuple[int, float, float, bool]]:
    """Each item in pieces of `cut`: volume [mL], begin, end, and whether an item ends here."""
    rows = []
    for volume, begin, end in zip(volumes, clock.begin, clock.end, strict=True):
        for low in range(0, volume, cut):
            high = min(low + cut, volume)
            pace = (end - begin) / volume
            rows.append((high - low, begin + low * pace, begin + high * pace, high == volume))
    return rows


def brute_force(
    volumes: list[int], clock: Clock, cup: int, life: float, cut: int
) -> tuple[int, int, int] | None:
    """Every way to end mixes at ends of pieces, tried one by one."""
    rows = pieces(volumes, clock, cut)
    best = None
    for ends in itertools.product((False, True), repeat=len(rows) - 1):
        bounds = [0, *(i + 1 for i, end in enumerate(ends) if end), len(rows)]
        found = [0, 0, 0]
        for a, b in itertools.pairwise(bounds):
            used = sum(row[0] for row in rows[a:b])
            size = round(mix_size(used * ML, STEP * ML) / ML)
            if size > cup or 300.0 + rows[b - 1][2] - rows[a][1] > life + 1e-6:
                break
            found[0] += 1
            found[1] += not rows[b - 1][3]
            found[2] += (size - used) * 1000
        else:
            best = min(best, tuple(found)) if best else tuple(found)
    return best


@pytest.mark.slow
@given(work(most=4, largest=150), st.sampled_from([100, 200]))
@settings(max_examples=120, deadline=None)
def test_as_good_as_brute_force(given_work: tuple[list[int], Clock, float], cup: int) -> None:
    volumes, clock, life = given_work
    found = score(batches(np.array(volumes) * ML, clock, limits_of(cup, life)))
    tried = brute_force(volumes, clock, cup, life, 50)
    # Brute force knows only ends of pieces; batches may also end where a brim-full cup runs dry.
    assert tried is None or found <= tried


@pytest.mark.slow
@given(st.lists(st.integers(1, 5), min_size=1, max_size=3), st.sampled_from([100, 150, 250]))
@settings(max_examples=80, deadline=None)
def test_equal_to_brute_force_and_highs_where_all_know_the_same_places(
    fifties: list[int], cup: int
) -> None:
    # Cups and volumes in fifties: a brim-full cup runs dry only at an end of a piece.
    volumes = [50 * n for n in fifties]
    clock = Clock(np.zeros(len(volumes)), np.zeros(len(volumes)))
    found = score(batches(np.array(volumes) * ML, clock, limits_of(cup, math.inf)))
    assert found == brute_force(volumes, clock, cup, math.inf, 50)
    assert found == integer_programme(volumes, cup, most=found[0] + 1)


def integer_programme(volumes: list[int], cup: int, most: int) -> tuple[int, int, int]:
    """The same split as binary assignment of pieces to mixes, solved by HiGHS."""
    clock = Clock(np.zeros(len(volumes)), np.zeros(len(volumes)))
    rows = pieces(volumes, clock, 50)
    count = len(rows)
    width = count * most + 2 * most + count
    z = lambda i, k: i * most + k  # noqa: E731
    steps = lambda k: count * most + k  # noqa: E731
    is_open = lambda k: count * most + most + k  # noqa: E731
    split_at = lambda i: count * most + 2 * most + i  # noqa: E731
    lines, low, high = [], [], []

    def add(terms: dict[int, float], least: float, largest: float) -> None:
        line = np.zeros(width)
        for place, factor in terms.items():
            line[place] += factor
        lines.append(line)
        low.append(least)
        high.append(largest)

    for i in range(count):
        add({z(i, k): 1 for k in range(most)}, 1, 1)
        if i + 1 < count:
            order = {z(i, k): -k for k in range(most)} | {z(i + 1, k): k for k in range(most)}
            add(order, 0, np.inf)
            if not rows[i][3]:
                for k in range(most):
                    add({split_at(i): 1, z(i, k): -1, z(i + 1, k): 1}, 0, np.inf)
    for k in range(most):
        used = {z(i, k): -rows[i][0] for i in range(count)}
        add({steps(k): STEP} | used, 0, np.inf)
        add({steps(k): STEP, is_open(k): -cup}, -np.inf, 0)
    cost = np.zeros(width)
    cost[count * most : count * most + most] = STEP
    cost[count * most + most : count * most + 2 * most] = 1e6
    cost[count * most + 2 * most :] = 1e4
    upper = np.ones(width)
    upper[count * most : count * most + most] = cup // STEP
    solved = milp(
        cost,
        constraints=LinearConstraint(np.array(lines), low, high),
        integrality=np.ones(width),
        bounds=Bounds(0, upper),
    )
    assert solved.success
    x = np.round(solved.x).astype(int)
    mixes = int(x[count * most + most : count * most + 2 * most].sum())
    left = int(STEP * x[count * most : count * most + most].sum()) - sum(volumes)
    return mixes, int(x[count * most + 2 * most :].sum()), left * 1000


@pytest.mark.slow
@given(st.lists(st.integers(20, 300), min_size=1, max_size=5), st.sampled_from([200, 300]))
@settings(max_examples=40, deadline=None)
def test_as_good_as_the_integer_programme_solved_by_highs(volumes: list[int], cup: int) -> None:
    clock = Clock(np.zeros(len(volumes)), np.zeros(len(volumes)))
    found = batches(np.array(volumes) * ML, clock, limits_of(cup, math.inf))
    assert score(found) <= integer_programme(volumes, cup, most=len(found) + 1)


@given(work(), st.sampled_from([500, 1000]))
@settings(max_examples=60, deadline=None)
def test_a_larger_cup_or_a_longer_life_never_needs_more_mixes(
    given_work: tuple[list[int], Clock, float], cup: int
) -> None:
    volumes, clock, life = given_work
    scaled = np.array(volumes) * ML
    base = len(batches(scaled, clock, limits_of(cup, life)))
    assert len(batches(scaled, clock, limits_of(2 * cup, life))) <= base
    assert len(batches(scaled, clock, limits_of(cup, 2 * life))) <= base
