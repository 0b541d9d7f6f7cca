"""What must hold for every film, against integrals and equations solved independently."""

import math

import numpy as np
import pytest
from hypothesis import assume, given
from hypothesis import strategies as st
from scipy.integrate import quad, solve_ivp
from scipy.optimize import minimize_scalar

from coatwright.engines import film
from coatwright.engines.constants import GRAVITY

solids = st.floats(0.05, 1.0)
films = st.floats(1e-6, 1e-3)
density = st.floats(800.0, 2000.0)
viscosity = st.floats(0.02, 5.0)
stress = st.floats(0.0, 5.0)
set_time = st.floats(2.0, 300.0)
slope = st.floats(0.05, math.pi - 0.05)
tension = st.floats(0.02, 0.04)


@given(films, solids, st.floats(0.0, 2.0))
def test_solids_are_kept(dry, share, thinner):
    assert film.dry_from_wet(film.wet_from_dry(dry, share), share) == pytest.approx(dry)
    thin = film.thinned_solids(share, thinner)
    assert film.wet_from_dry(dry, thin) == pytest.approx(
        film.wet_from_dry(dry, share) * (1 + thinner)
    )


@given(solids, st.floats(0.0, 1.0))
def test_what_lands_holds_the_solids_that_left(share, lost):
    """One volume leaves the gun; its solids land in what is left of it."""
    left = 1 - (1 - share) * lost
    landed = film.landed_solids(share, lost)
    assert landed * left == pytest.approx(share)
    assert share - 1e-12 <= landed <= 1.0 + 1e-12


@given(solids, films, st.floats(0.05, 1.0), st.floats(0.1, 100.0))
def test_coverage_volume_and_transfer_agree(share, dry, transfer, area):
    volume = film.volume_for(area, dry, share, transfer)
    assert film.coverage(share, dry, transfer) * volume == pytest.approx(area)
    assert film.transfer_efficiency(area, dry, share, volume) == pytest.approx(transfer)


@given(density, viscosity, films, stress, slope)
def test_surface_speed_is_the_integral_of_the_shear(rho, eta, h, tau, angle):
    """Shear rate (rho g sin (h - y) - tau) / eta where positive, summed from the wall outwards."""
    weight = rho * GRAVITY * math.sin(angle)
    sheared = max(0.0, h - tau / weight)
    speed, _ = quad(lambda y: (weight * (h - y) - tau) / eta, 0.0, sheared)
    assert film.sag_speed(rho, eta, h, tau, angle) == pytest.approx(speed, rel=1e-9, abs=1e-15)


@given(density, viscosity, st.floats(1e-5, 1e-3), stress)
def test_drainage_is_the_integral_of_the_speed(rho, eta, h, tau):
    weight = rho * GRAVITY
    sheared = max(0.0, h - tau / weight)

    def speed(y):
        moved = min(y, sheared)
        return weight * (sheared * moved - moved**2 / 2) / eta

    flow = quad(speed, 0.0, sheared)[0] + speed(h) * (h - sheared)
    assert film.drainage(rho, eta, h, tau) == pytest.approx(flow, rel=1e-9, abs=1e-18)


@given(density, viscosity, stress, set_time, st.floats(1e-4, 2e-2), slope)
def test_the_limit_slides_the_allowed_way(rho, eta, tau, setting, way, angle):
    limit = film.sag_limit(rho, eta, tau, setting, way, angle)
    assert film.slide(rho, eta, limit, setting, tau, angle) == pytest.approx(way, rel=1e-6)
    assert limit > film.yield_limit(rho, tau, angle)


@given(density, viscosity, stress, set_time)
def test_steeper_is_worse_and_thicker_paint_is_better(rho, eta, tau, setting):
    wall = film.sag_limit(rho, eta, tau, setting)
    assert film.sag_limit(rho, eta, tau, setting, 5e-3, 0.5) > wall
    assert film.sag_limit(rho, 2 * eta, tau, setting) > wall
    assert film.sag_limit(rho, eta, tau, 2 * setting) < wall
    assert film.sag_limit(rho, eta, tau + 0.1, setting) > wall


@given(density, viscosity, st.floats(0.0, 1.0), st.floats(5.0, 60.0), st.floats(5e-5, 5e-4))
def test_slide_of_a_setting_film(rho, eta, tau, setting, h):
    """The closed form against an independent integration of v(t) with eta growing as exp(t/T)."""
    assume(h > 1.05 * film.yield_limit(rho, tau))
    weight = rho * GRAVITY
    moving = h - tau / weight

    def speed(t, _):
        return [weight * moving**2 / (2 * eta * math.exp(t / setting))]

    solved = solve_ivp(speed, (0.0, 40 * setting), [0.0], rtol=1e-9, atol=1e-15)
    assert film.slide(rho, eta, h, setting, tau) == pytest.approx(solved.y[0, -1], rel=1e-6)


@pytest.mark.parametrize("tau", [0.0, 0.4])
def test_slide_while_solvent_leaves(tau):
    """Solvent leaves at a rate that falls off; viscosity follows the solids. Trapezoid sums against
    solve_ivp, with the error falling as the square of the step."""
    rho, h0, share0, eta0 = 1200.0, 2e-4, 0.45, 0.15
    weight = rho * GRAVITY

    def state(t):
        share = share0 / (share0 + (1 - share0) * np.exp(-np.asarray(t) / 25.0))
        return eta0 * np.exp(14.0 * (share - share0)), h0 * share0 / share

    def speed(t, _):
        eta, h = state(t)
        return [weight * max(0.0, float(h) - tau / weight) ** 2 / (2 * float(eta))]

    exact = solve_ivp(speed, (0.0, 200.0), [0.0], rtol=1e-10, atol=1e-14, max_step=0.5).y[0, -1]
    errors = []
    for count in (201, 401):
        times = np.linspace(0.0, 200.0, count)
        way = film.slide_while_drying(weight, tau, times, *state(times))
        assert way[0] == 0.0
        assert (np.diff(way) >= 0).all()
        errors.append(abs(way[-1] - exact) / exact)
    assert errors[1] < 1e-3
    assert errors[0] / errors[1] == pytest.approx(4.0, rel=0.35)


def test_film_that_thins_slides_less_than_the_closed_form_says():
    """What is left out (the film thins as solvent leaves) is on the safe side."""
    rho, h, eta, setting = 1200.0, 2e-4, 0.2, 20.0
    times = np.linspace(0.0, 200.0, 2001)
    viscosities = eta * np.exp(times / setting)
    thinning = h * (0.5 + 0.5 * np.exp(-times / setting))
    real = film.slide_while_drying(rho * GRAVITY, 0.0, times, viscosities, thinning)[-1]
    assert real < film.slide(rho, eta, h, setting)


@given(density, st.floats(0.05, 5.0), st.floats(0.3, 1.5), stress, st.floats(1e-5, 1e-2))
def test_anti_sag_film_moves_at_the_critical_speed(rho, consistency, index, tau, speed):
    """Surface speed by summing the Herschel-Bulkley shear rate over the film."""
    h = film.anti_sag_index(rho, consistency, index, tau, speed)
    weight = rho * GRAVITY
    sheared = h - tau / weight
    summed, _ = quad(
        lambda z: (weight * z / consistency) ** (1 / index), 0.0, sheared, epsabs=0.0, epsrel=1e-8
    )
    assert summed == pytest.approx(speed, rel=1e-6)


@given(density, viscosity, tension, films)
def test_hang_rate_is_the_fastest_ripple(rho, eta, sigma, h):
    """Maximum of the dispersion relation over the wavenumber, found by search."""
    weight = rho * GRAVITY
    cut_off = math.sqrt(weight / sigma)

    def slowness(k):
        return -(weight * k**2 - sigma * k**4)

    found = minimize_scalar(
        slowness, bounds=(0.0, cut_off), method="bounded", options={"xatol": 1e-9 * cut_off}
    )
    rate = -found.fun * h**3 / (3 * eta)
    assert film.hang_rate(rho, eta, sigma, h) == pytest.approx(rate, rel=1e-6)


@given(density, viscosity, tension, st.floats(5.0, 100.0), st.floats(0.5, 5.0))
def test_hanging_film_grows_the_allowed_folds(rho, eta, sigma, setting, folds):
    h = film.hang_limit(rho, eta, sigma, setting, folds)
    rate = film.hang_rate(rho, eta, sigma, h)
    grown = solve_ivp(
        lambda t, _: [rate * math.exp(-t / setting)],
        (0.0, 40 * setting),
        [0.0],
        rtol=1e-9,
        atol=1e-12,
    )
    assert grown.y[0, -1] == pytest.approx(folds, rel=1e-5)


def test_ripple_levels_as_the_thin_film_equation_says():
    """Full thin-film equation, h_t = -(sigma / 3 eta) (h^3 h_xxx)_x, solved on a grid for a ripple
    of 1 % of the film: its height after levelling_time is 1/e."""
    eta, wavelength, sigma, mean = 0.3, 2e-3, 0.03, 8e-5
    points = 64
    x = np.arange(points) * wavelength / points
    k = 2 * np.pi * np.fft.rfftfreq(points, wavelength / points)

    def derivative(values, order):
        return np.fft.irfft((1j * k) ** order * np.fft.rfft(values), points)

    def rate(_, h):
        return -sigma / (3 * eta) * derivative(h**3 * derivative(h, 3), 1)

    start = mean * (1 + 0.01 * np.cos(2 * np.pi * x / wavelength))
    time = film.levelling_time(eta, wavelength, sigma, mean)
    solved = solve_ivp(rate, (0.0, time), start, method="Radau", rtol=1e-8, atol=1e-14)
    height = 2 * abs(np.fft.rfft(solved.y[:, -1])[1]) / points
    assert height == pytest.approx(0.01 * mean / math.e, rel=1e-3)


@given(st.floats(1e-6, 1e-4), st.floats(0.5, 100.0), set_time)
def test_texture_left_by_integration(texture, levelling, setting):
    rate = solve_ivp(
        lambda t, _: [1 / (levelling * math.exp(t / setting))],
        (0.0, 40 * setting),
        [0.0],
        rtol=1e-9,
        atol=1e-12,
    )
    assert film.texture_left(texture, levelling, setting) == pytest.approx(
        texture * math.exp(-rate.y[0, -1]), rel=1e-5, abs=1e-30
    )


@given(st.floats(0.01, 8.0), st.floats(0.05, 0.99), st.floats(0.0, 1.0))
def test_reflectance_by_integration(scatter, infinite, backing):
    """dR/dX = S (1 - 2 a R + R^2) from the backing upwards, with S = 1."""
    a = (1 / infinite + infinite) / 2
    solved = solve_ivp(
        lambda _, r: 1 - 2 * a * r + r**2, (0.0, scatter), [backing], rtol=1e-9, atol=1e-12
    )
    assert film.reflectance(scatter, infinite, backing) == pytest.approx(solved.y[0, -1], abs=1e-6)


@given(st.floats(0.02, 0.98), st.floats(0.5, 0.995), st.floats(0.0, 0.2), st.floats(0.45, 1.0))
def test_scatter_reaches_the_contrast(infinite, contrast, black, white):
    scatter = film.scatter_for(infinite, contrast, black, white)
    found = film.contrast_ratio(scatter, infinite, black, white)
    assert found == pytest.approx(contrast, abs=1e-9)
    assert film.contrast_ratio(scatter * 1.01, infinite, black, white) > contrast


@given(st.floats(0.05, 0.9), st.floats(0.01, 0.05))
def test_darker_hides_thinner(infinite, darker):
    assert film.scatter_for(infinite - darker * infinite) < film.scatter_for(infinite)
