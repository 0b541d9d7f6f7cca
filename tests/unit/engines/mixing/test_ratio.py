"""Parts, densities and solids of a mix."""

import numpy as np
import pytest

from coatwright.engines import mixing
from coatwright.errors import RangeError


@pytest.mark.parametrize(
    ("parts", "written"),
    [([0, 0], "[0.0, 0.0]"), ([2, -1], "[2.0, -1.0]"), ([1, float("nan")], "[1.0, nan]")],
)
def test_nothing_to_mix(parts, written):
    with pytest.raises(RangeError) as caught:
        mixing.shares(parts)
    assert caught.value.sentence == (
        f"the parts {written} cannot be mixed; every part must be 0 or more and one above 0"
    )


@pytest.mark.parametrize("densities", [[1000.0], [1000.0, -1.0], [1000.0, float("inf")]])
def test_values_must_match_the_parts(densities):
    with pytest.raises(RangeError) as caught:
        mixing.ready_density([2, 1], densities)
    assert caught.value.sentence == (
        f"density is {densities} for 2 parts; give one value per part, 0 or more"
    )


def test_solids_above_one():
    with pytest.raises(RangeError) as caught:
        mixing.ready_solids([2, 1], [0.5, 1.2])
    assert caught.value.sentence == "volume solids of 1.2; it must be 0 to 1"


def test_negative_thinner():
    with pytest.raises(RangeError) as caught:
        mixing.thinned([2, 1], -0.1)
    assert caught.value.sentence == "a thinner share of -0.1; it must be 0 or more"


def test_mix_by_hand():
    """2:1 + 10 %: shares 20/33, 10/33, 3/33; solids (20 x 0.55 + 10 x 0.5)/33."""
    parts = mixing.thinned([2, 1], 0.1)
    assert mixing.shares(parts) == pytest.approx([20 / 33, 10 / 33, 3 / 33])
    assert mixing.ready_solids(parts, [0.55, 0.5, 0.0]) == pytest.approx(16 / 33)
    assert mixing.ready_density(parts, [1300.0, 1050.0, 870.0]) == pytest.approx(
        (26000 + 10500 + 2610) / 33
    )


def test_mass_parts_by_hand():
    """4:1 by volume at 1.5 and 1.0 kg/L is 6:1 by mass."""
    found = mixing.mass_parts([4, 1], [1500.0, 1000.0])
    assert found == pytest.approx(np.array([6.0, 1.0]) * 5 / 7)


def test_nothing_but_solids_is_allowed():
    assert mixing.ready_solids([1, 1], [1.0, 1.0]) == 1.0
    with pytest.raises(RangeError):
        mixing.ready_solids([1, 1], [1.0, 1.001])
