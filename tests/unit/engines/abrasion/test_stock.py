"""What rubbing down takes off: the film budget of the trade, geometry, words."""

import numpy as np
import pytest

from coatwright.engines import abrasion
from coatwright.engines.abrasion.stock import OVERCUT
from coatwright.errors import RangeError

UM = 1e-6
PRIMER_TEXTURE = 25 * UM
EVEN = 0.15  # relative spread of film that a careful painter keeps (common practice, no source)


def test_block_of_the_first_round():
    """130 um of high-build blocked with P180 loses about 40 um, 60 at edges (common practice)."""
    relief = abrasion.relief(PRIMER_TEXTURE, EVEN * 130 * UM)
    taken = abrasion.take_off(relief, None, "P180")
    assert taken == pytest.approx(40 * UM, rel=0.35)
    assert pytest.approx(60 * UM) == abrasion.EDGE * 40 * UM


def test_block_of_the_second_round():
    """90 um of high-build loses about 50 um to P320 and P500 (common practice)."""
    relief = abrasion.relief(PRIMER_TEXTURE, EVEN * 90 * UM)
    taken = abrasion.take_off(relief, None, "P320") + abrasion.take_off(0.0, "P320", "P500")
    assert taken == pytest.approx(50 * UM, rel=0.35)


def test_flat_and_polish():
    """Flatting and polishing lacquer takes 10 to 20 um (common practice); texture 8 um."""
    ladder = ["P1500", "P2000", "P3000"]
    taken = abrasion.take_off(8 * UM, None, "P1200")
    for last, following in zip(["P1200", *ladder], ladder, strict=False):
        taken += abrasion.take_off(0.0, last, following)
    relief = abrasion.relief(8 * UM, 0.10 * 60 * UM)
    blocked = taken - abrasion.take_off(8 * UM, None, "P1200")
    blocked += abrasion.take_off(relief, None, "P1200")
    assert taken < 10 * UM  # a pad that follows the surface takes less than the trade's figure
    assert 10 * UM <= blocked <= 20 * UM


def test_take_off_is_the_geometry_of_a_ripple():
    """A ripple of 40 um cut down to its valleys, then scratched: mean loss on the curve."""
    x = np.linspace(0.0, 2 * np.pi, 100001)
    surface = 20 * UM * np.sin(x)
    cut = surface.min() - abrasion.scratch("P320") / 2 * (1 + np.sin(40 * x))
    loss = np.trapezoid(surface - cut, x) / (2 * np.pi)
    assert abrasion.take_off(40 * UM, None, "P320") == pytest.approx(OVERCUT * loss, rel=1e-3)


def test_roughness_falls_with_every_finer_grade():
    """Published order (belt-roughness): finer is smoother, without exception."""
    found = [abrasion.roughness(grade) for grade in abrasion.grades()]
    assert found == sorted(found, reverse=True)
    assert abrasion.roughness("P320", abrasion.STEEL) < abrasion.roughness("P320")


def test_old_scratch_costs_film():
    fresh = abrasion.take_off(0.0, None, "P500")
    assert abrasion.take_off(0.0, "P320", "P500") > fresh
    assert abrasion.take_off(0.0, "P180", "P500") > abrasion.take_off(0.0, "P320", "P500")


@pytest.mark.parametrize(
    ("use", "sentence"),
    [
        (lambda: abrasion.scratch("P320", 0.0), "a hardness of 0; it must be above 0"),
        (
            lambda: abrasion.take_off(-1 * UM, None, "P320"),
            "a texture of -1e-06 m; it must be 0 or more",
        ),
        (
            lambda: abrasion.relief(1 * UM, -1.0),
            "a negative texture or spread; each must be 0 or more",
        ),
        (
            lambda: abrasion.break_through(1.0, -1.0, 1.0, 1.0),
            "a negative film, loss or spread; each must be 0 or more",
        ),
    ],
)
def test_refused(use, sentence):
    with pytest.raises(RangeError) as caught:
        use()
    assert caught.value.sentence == sentence


def test_scratch_by_hand():
    """P180: 82^(4/3) = 356.25; x 0.0028 = 0.9975 um Ra on steel, x 4 = 3.990, x 3 = 11.97 um."""
    assert abrasion.roughness("P180", abrasion.STEEL) == pytest.approx(0.9975 * UM, rel=1e-4)
    assert abrasion.scratch("P180", abrasion.STEEL) == pytest.approx(3.990 * UM, rel=1e-4)
    assert abrasion.scratch("P180") == pytest.approx(11.97 * UM, rel=1e-4)


def test_take_off_by_hand():
    """40 um of texture and P180: 1.2 (40 + 11.97)/2 = 31.18 um."""
    assert abrasion.take_off(40 * UM, None, "P180") == pytest.approx(31.18 * UM, rel=1e-3)


def test_relief_by_hand():
    """25 um and 2.56 deviations of 20 um; nothing and nothing is flat."""
    assert abrasion.relief(25 * UM, 20 * UM) == pytest.approx(76.2 * UM)
    assert abrasion.relief(0.0, 0.0) == 0.0


def test_a_film_just_rubbed_away_is_broken_through():
    assert abrasion.break_through(50 * UM, 0.0, 50 * UM, 0.0) == 1.0
