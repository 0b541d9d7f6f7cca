"""Viscosity and temperature."""

import pytest

from coatwright.engines import rheology
from coatwright.errors import RangeError

ROOM = 293.15


def test_default_is_what_painters_expect():
    """3-5 % per K at 20 degC (common practice, no source)."""
    assert 0.03 <= rheology.sensitivity(ROOM) <= 0.05
    colder = rheology.at_temperature(60e-6, ROOM, ROOM - 1.0)
    assert 1.03 <= colder / 60e-6 <= 1.05


def test_sensitivity_is_the_slope():
    step = 1e-3
    warmer = rheology.at_temperature(1.0, ROOM, ROOM + step)
    colder = rheology.at_temperature(1.0, ROOM, ROOM - step)
    assert (colder - warmer) / (2 * step) == pytest.approx(rheology.sensitivity(ROOM), rel=1e-6)


@pytest.mark.parametrize(("measured", "wanted"), [(263.1, ROOM), (ROOM, 353.2)])
def test_outside_the_law(measured, wanted):
    with pytest.raises(RangeError) as caught:
        rheology.at_temperature(60e-6, measured, wanted)
    strange = measured if measured != ROOM else wanted
    assert caught.value.sentence == (
        f"a paint temperature of {strange:g} K is outside the viscosity law; "
        "it must be -10 to 80 degC (263.15 to 353.15 K)"
    )


def test_the_ends_are_inside():
    assert rheology.at_temperature(60e-6, 263.15, 353.15) < 60e-6
