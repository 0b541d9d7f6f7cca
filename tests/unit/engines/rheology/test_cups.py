"""Flow cups: what is refused, and in which words."""

import pytest

from coatwright.engines import rheology
from coatwright.errors import RangeError
from coatwright.model.material import Cup


def test_unknown_cup():
    with pytest.raises(RangeError) as caught:
        rheology.kinematic_viscosity("Shell 2", 30.0)
    assert caught.value.sentence == (
        "'Shell 2' is not a known flow cup; use one of ISO 3, ISO 4, ISO 5, ISO 6, DIN 4, Ford 3, "
        "Ford 4, Zahn 1, Zahn 2, Zahn 3, Zahn 4, Zahn 5"
    )


# Where each curve crosses zero, by hand: sqrt(200/1.37) = 12.08, 4.49, 29, sqrt(452/4.57) = 9.945.
@pytest.mark.parametrize(
    ("cup", "least"), [("ISO 4", 12.08), ("Ford 4", 4.49), ("Zahn 1", 29.0), ("DIN 4", 9.945)]
)
def test_no_liquid_is_so_thin(cup, least):
    assert rheology.kinematic_viscosity(cup, least + 0.01) > 0
    with pytest.raises(RangeError) as caught:
        rheology.kinematic_viscosity(cup, least - 0.01)
    assert caught.value.what == f"{least - 0.01:g} s in a {cup} cup means no viscosity at all"
    assert caught.value.instead == (
        f"the curve of this cup begins at {least:.1f} s; use a cup with a smaller hole"
    )


@pytest.mark.parametrize("seconds", [0.0, -5.0, float("nan")])
def test_no_time_is_no_viscosity(seconds):
    with pytest.raises(RangeError):
        rheology.kinematic_viscosity("DIN 4", seconds)


@pytest.mark.parametrize("viscosity", [0.0, -1e-6, float("nan")])
def test_no_viscosity_is_no_time(viscosity):
    with pytest.raises(RangeError) as caught:
        rheology.cup_seconds("DIN 4", viscosity)
    assert caught.value.sentence == (
        f"a kinematic viscosity of {viscosity:g} m2/s runs out of no cup; it must be above 0"
    )


def test_range_includes_its_ends():
    shortest, longest = rheology.cup_range("DIN 4")
    assert rheology.within("DIN 4", shortest)
    assert rheology.within("DIN 4", longest)
    assert not rheology.within("DIN 4", shortest - 0.01)
    assert not rheology.within("DIN 4", longest + 0.01)


def test_every_cup_a_sheet_may_name_is_known():
    named = Cup.model_fields["cup"].annotation
    assert set(named.__args__) <= set(rheology.CUPS)
