"""What must hold for every rubbing: chances against sampling, monotony."""

import numpy as np
import pytest
from hypothesis import assume, given
from hypothesis import strategies as st
from scipy import integrate, stats

from coatwright.engines import abrasion

UM = 1e-6
films = st.floats(20 * UM, 300 * UM)
relative = st.floats(0.05, 0.6)
grade = st.sampled_from(abrasion.grades())


def lognormal(mean, deviation):
    variance = np.log1p((deviation / mean) ** 2)
    return stats.lognorm(np.sqrt(variance), scale=mean / np.sqrt(1 + (deviation / mean) ** 2))


@given(films, relative, films, relative)
def test_chance_by_integration(film, film_cv, take, take_cv):
    """Integral over the loss of (its density x chance that the film is thinner), by SciPy."""
    coat, loss = lognormal(film, film_cv * film), lognormal(take, take_cv * take)
    low, high = loss.ppf(1e-12), loss.ppf(1 - 1e-12)
    chance, _ = integrate.quad(
        lambda u: coat.cdf(np.exp(u)) * loss.pdf(np.exp(u)) * np.exp(u),
        np.log(low),
        np.log(high),
        limit=200,
        points=[np.log(take), np.log(min(max(film, low), high))],
    )
    found = abrasion.break_through(film, film_cv * film, take, take_cv * take)
    assert found == pytest.approx(chance, abs=1e-6)


def test_chance_by_sampling():
    random = np.random.default_rng(7)
    coat = lognormal(90 * UM, 15 * UM).rvs(400_000, random_state=random)
    loss = lognormal(60 * UM, 18 * UM).rvs(400_000, random_state=random)
    assert coat.mean() == pytest.approx(90 * UM, rel=2e-3)
    found = abrasion.break_through(90 * UM, 15 * UM, 60 * UM, 18 * UM)
    assert found == pytest.approx(float((loss > coat).mean()), abs=4 * (0.1 / 400_000) ** 0.5)


@given(films, relative, films, relative, st.floats(1.01, 3.0))
def test_more_film_is_safer_and_more_rubbing_is_not(film, film_cv, take, take_cv, times):
    chance = abrasion.break_through(film, film_cv * film, take, take_cv * take)
    more_film = abrasion.break_through(times * film, film_cv * film * times, take, take_cv * take)
    more_rub = abrasion.break_through(film, film_cv * film, times * take, take_cv * take * times)
    assert 0.0 <= more_film <= chance <= more_rub <= 1.0


@given(films, films)
def test_without_spread_it_is_yes_or_no(film, take):
    assume(film != take)
    assert abrasion.break_through(film, 0.0, take, 0.0) == float(take > film)


@given(films, st.floats(0.0, 1.0))
def test_the_ends(film, spread):
    assert abrasion.break_through(film, spread * film, 0.0, 0.0) == 0.0
    assert abrasion.break_through(0.0, 0.0, film, spread * film) == 1.0
    assert abrasion.break_through(0.0, 0.0, 0.0, 0.0) == 1.0


@given(st.floats(0.0, 200 * UM), grade, grade, st.floats(0.3, 5.0), st.floats(1.1, 3.0))
def test_take_off_grows_with_relief_and_falls_with_hardness(texture, before, now, hard, times):
    taken = abrasion.take_off(texture, before, now, hard)
    assert abrasion.take_off(texture + UM, before, now, hard) > taken
    assert abrasion.take_off(texture, before, now, hard * times) < taken
    assert taken > abrasion.take_off(texture, None, now, hard)
