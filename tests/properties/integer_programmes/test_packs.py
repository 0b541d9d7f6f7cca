"""Packs against brute force and against HiGHS."""

import itertools
import math

import numpy as np
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st
from scipy.optimize import Bounds, LinearConstraint, milp

from coatwright.engines.mixing.packs import packs

SHOP = st.lists(
    st.tuples(st.sampled_from([100, 250, 473, 500, 946, 1000, 2500, 5000]), st.integers(1, 200)),
    min_size=1,
    max_size=5,
    unique_by=lambda row: row[0],
)


def total(counts: tuple[int, ...], values: list[int]) -> int:
    return sum(n * v for n, v in zip(counts, values, strict=True))


@pytest.mark.slow
@given(st.integers(1, 20_000), SHOP)
@settings(max_examples=200, deadline=None)
def test_as_cheap_as_highs(need: int, shop: list[tuple[int, int]]) -> None:
    sizes, prices = [row[0] for row in shop], [row[1] for row in shop]
    found = packs(float(need), sizes, prices)
    solved = milp(
        prices,
        constraints=LinearConstraint(np.array([sizes]), need, np.inf),
        integrality=np.ones(len(shop)),
        bounds=Bounds(0, np.inf),
    )
    assert total(found, sizes) >= need
    assert total(found, prices) == round(solved.fun)


@given(st.integers(1, 1500), SHOP.filter(lambda shop: len(shop) <= 3))
@settings(max_examples=150, deadline=None)
def test_least_cost_then_least_over_then_fewest_packs(
    need: int, shop: list[tuple[int, int]]
) -> None:
    sizes, prices = [row[0] for row in shop], [row[1] for row in shop]
    every = itertools.product(*(range(math.ceil(need / size) + 1) for size in sizes))
    best = min(
        (total(counts, prices), total(counts, sizes), sum(counts))
        for counts in every
        if total(counts, sizes) >= need
    )
    found = packs(float(need), sizes, prices)
    assert (total(found, prices), total(found, sizes), sum(found)) == best


@given(st.integers(1, 20_000), st.integers(1, 500), SHOP)
@settings(max_examples=100, deadline=None)
def test_more_need_never_costs_less(need: int, more: int, shop: list[tuple[int, int]]) -> None:
    sizes, prices = [row[0] for row in shop], [row[1] for row in shop]
    low = total(packs(float(need), sizes, prices), prices)
    assert total(packs(float(need + more), sizes, prices), prices) >= low
