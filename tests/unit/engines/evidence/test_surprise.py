"""When readings contradict the prediction, against scipy.stats and simulation."""

import math

import numpy as np
import pytest
from scipy import stats

from coatwright.engines import evidence
from coatwright.engines.evidence import Combed, Films, Gauged

ONE = evidence.predicted([50.0], [5.0], [4.0])


def read(*films):
    return [Gauged(Films(np.array(films), np.eye(len(films)) * 1.0), [1])]


def test_chi_square_is_that_of_the_joint_normal():
    films = np.array([60.0, 52.0, 49.0])
    found = evidence.fuse(ONE, read(*films)).surprise
    total = np.full((3, 3), 25.0) + np.eye(3) * 17.0
    expected = (films - 50) @ np.linalg.inv(total) @ (films - 50)
    assert found.chi_square == pytest.approx(expected)
    assert found.degrees == 3
    assert found.p == pytest.approx(stats.chi2.sf(expected, 3))


def test_level_and_scatter_are_told_apart():
    """Mean 53.67 against 50 with 25 + 17/3; the rest is the sample variance over 17."""
    films = np.array([60.0, 52.0, 49.0])
    found = evidence.fuse(ONE, read(*films)).surprise
    off = (films.mean() - 50) / math.sqrt(25 + 17 / 3)
    assert found.level_p == pytest.approx(2 * stats.norm.sf(abs(off)))
    assert found.scatter_p == pytest.approx(stats.chi2.sf(2 * films.var(ddof=1) / 17, 2))


def test_a_level_far_off_contradicts_and_a_wild_scatter_does():
    assert not evidence.fuse(ONE, read(55, 52, 48, 51)).surprise.contradicts
    level = evidence.fuse(ONE, read(74, 71, 73, 72)).surprise
    assert (level.contradicts, level.scatter_p > 0.5) == (True, True)
    wild = evidence.fuse(ONE, read(35, 65, 36, 64)).surprise
    assert (wild.contradicts, wild.level_p > 0.5) == (True, True)


def test_doubt_of_the_scatter_excuses_more():
    films = read(40, 60, 41, 59)
    sure = evidence.fuse(ONE, films).surprise
    unsure = evidence.fuse(ONE._replace(doubt=0.6), films).surprise
    assert sure.contradicts
    assert not unsure.contradicts


def test_combs_count_by_their_middles():
    near = evidence.fuse(ONE, combed=[Combed([(40, 60)] * 4, [1])]).surprise
    far = evidence.fuse(ONE, combed=[Combed([(80, 100)] * 4, [1])]).surprise
    assert (near.contradicts, far.contradicts) == (False, True)
    assert near.degrees == 4


def test_an_open_interval_counts_only_against_the_model():
    """All that is known is more than 40, and 50 was foreseen: no surprise. More than 90 is one."""
    assert evidence.fuse(ONE, combed=[Combed([(40, math.inf)], [1])]).surprise.degrees == 0
    found = evidence.fuse(ONE, combed=[Combed([(90, math.inf)], [1])]).surprise
    assert (found.degrees, found.contradicts) == (1, True)


def test_false_alarms_are_as_rare_as_said():
    """Readings drawn from the prediction: 1 % contradict it, 10 % have p below 0.1."""
    rng = np.random.default_rng(5)
    draws = 4000
    levels = rng.normal(50, 5, (draws, 1))
    films = levels + rng.normal(0, math.sqrt(17), (draws, 5))
    found = [evidence.fuse(ONE, read(*row)).surprise for row in films]
    alarms = np.mean([one.contradicts for one in found])
    assert alarms == pytest.approx(0.01, abs=3 * math.sqrt(0.01 * 0.99 / draws))
    low = np.mean([one.p < 0.1 for one in found])
    assert low == pytest.approx(0.1, abs=3 * math.sqrt(0.09 / draws))
