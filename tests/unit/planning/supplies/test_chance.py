"""Sums of uncertain amounts, against closed forms and SciPy's own distributions."""

import math

import numpy as np
import pytest
from scipy import stats

from coatwright.planning.supplies.chance import Part, joint

Z = 1.2815515655446004  # the 90 % point of the normal distribution, from any table


def lognormal(key: str, median: float, sigma: float, group: str = "") -> Part:
    return Part(key, median * math.exp(-Z * sigma), median, median * math.exp(Z * sigma), group)


def test_one_part_has_its_own_points() -> None:
    found = joint([Part("rub", 70.0, 100.0, 160.0)], {})
    assert found.point(0.1) == pytest.approx(70.0, rel=2e-3)
    assert found.point(0.5) == pytest.approx(100.0, rel=2e-3)
    assert found.point(0.9) == pytest.approx(160.0, rel=2e-3)
    assert found.shares == {"rub": pytest.approx(1.0)}


def test_a_lognormal_is_scipys() -> None:
    found = joint([lognormal("a", 200.0, 0.3)], {})
    exact = stats.lognorm(0.3, scale=200.0)
    for chance in (0.02, 0.25, 0.5, 0.75, 0.98):
        assert found.point(chance) == pytest.approx(exact.ppf(chance), rel=5e-3)
    assert found.draws.mean() == pytest.approx(exact.mean(), rel=2e-3)


def test_what_errs_wholly_together_adds_point_by_point() -> None:
    parts = [Part("a", 70.0, 100.0, 160.0, "work"), Part("b", 35.0, 50.0, 80.0, "work")]
    found = joint(parts, {"work": 1.0})
    assert found.point(0.1) == pytest.approx(105.0, rel=2e-3)
    assert found.point(0.9) == pytest.approx(240.0, rel=2e-3)


def test_variances_add_where_nothing_is_shared() -> None:
    sigmas = {"a": (100.0, 0.10), "b": (300.0, 0.05), "c": (50.0, 0.40)}
    found = joint([lognormal(key, *given) for key, given in sigmas.items()], {})
    variances = {
        key: stats.lognorm(sigma, scale=median).var() for key, (median, sigma) in sigmas.items()
    }
    total = sum(variances.values())
    assert found.draws.var() == pytest.approx(total, rel=2e-2)
    for key, variance in variances.items():
        assert found.shares[key] == pytest.approx(variance / total, abs=0.02)


def test_half_in_common_lies_between() -> None:
    parts = [lognormal(key, 100.0, 0.3, "work") for key in "abcd"]
    spread = {
        share: np.diff([joint(parts, {"work": share}).point(p) for p in (0.1, 0.9)])[0]
        for share in (0.0, 0.5, 1.0)
    }
    # Lognormal scores with correlation r: cov = m^2 (exp(r s^2) - 1), m the mean of one.
    mean = 100.0 * math.exp(0.045)
    for share, width in spread.items():
        variance = mean**2 * (4 * math.expm1(0.09) + 12 * math.expm1(share * 0.09))
        assert width / (2 * Z) == pytest.approx(math.sqrt(variance), rel=0.06)
    assert spread[0.0] < spread[0.5] < spread[1.0]


def test_the_same_every_time() -> None:
    parts = [Part("a", 1.0, 2.0, 4.0), Part("b", 1.0, 2.0, 3.0)]
    assert np.array_equal(joint(parts, {}).draws, joint(parts, {}).draws)


def test_points_out_of_order_are_refused() -> None:
    with pytest.raises(ValueError, match=r"rub: 2\.0 <= 1\.0 <= 3\.0 is not so"):
        Part("rub", 2.0, 1.0, 3.0)
