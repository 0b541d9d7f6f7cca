"""Wet film, dry film, coverage: what is refused, and arrays."""

import numpy as np
import pytest

from coatwright.engines import film
from coatwright.errors import RangeError

SOLIDS = "it must be above 0 and at most 1"


@pytest.mark.parametrize("solids", [0.0, -0.1, 1.01, float("nan")])
@pytest.mark.parametrize(
    "use",
    [
        lambda s: film.wet_from_dry(1e-4, s),
        lambda s: film.dry_from_wet(1e-4, s),
        lambda s: film.thinned_solids(s, 0.1),
        lambda s: film.landed_solids(s, 0.1),
        lambda s: film.coverage(s, 1e-4),
        lambda s: film.volume_for(1.0, 1e-4, s),
        lambda s: film.transfer_efficiency(1.0, 1e-4, s, 1e-3),
    ],
)
def test_solids(use, solids):
    with pytest.raises(RangeError) as caught:
        use(solids)
    assert caught.value.sentence == f"volume solids of {solids:g}; {SOLIDS}"


@pytest.mark.parametrize(
    ("use", "sentence"),
    [
        (lambda: film.thinned_solids(0.5, -0.1), "a thinner share of -0.1; it must be 0 or more"),
        (lambda: film.landed_solids(0.5, 1.1), "an in-flight loss of 1.1; it must be 0 to 1"),
        (lambda: film.landed_solids(0.5, -0.1), "an in-flight loss of -0.1; it must be 0 to 1"),
        (lambda: film.coverage(0.5, 0.0), "a dry film of 0 m; it must be above 0"),
        (lambda: film.coverage(0.5, 1e-4, 0.0), f"transfer of 0; {SOLIDS}"),
        (lambda: film.volume_for(1.0, 1e-4, 0.5, 1.01), f"transfer of 1.01; {SOLIDS}"),
        (
            lambda: film.transfer_efficiency(1.0, 1e-4, 0.5, 0.0),
            "a volume sprayed of 0 m3; it must be above 0",
        ),
    ],
)
def test_refused(use, sentence):
    with pytest.raises(RangeError) as caught:
        use()
    assert caught.value.sentence == sentence


def test_arrays_pass_through():
    dry = np.array([1e-5, 5e-5])
    assert film.wet_from_dry(dry, 0.5) == pytest.approx([2e-5, 1e-4])
    assert film.dry_from_wet(dry, 0.5) == pytest.approx([5e-6, 2.5e-5])


def test_landed_by_hand():
    """Half solids, half of the solvent lost: 0.5 of 0.75 is left as solids."""
    assert film.landed_solids(0.5, 0.5) == pytest.approx(2 / 3)
    assert film.landed_solids(0.5, 1.0) == 1.0


def test_shop_arithmetic():
    """11 m2, 55 um, solids 40 %, transfer 50 %: 3.0 L (common practice, no source)."""
    assert film.volume_for(11.0, 55e-6, 0.40, 0.50) == pytest.approx(3.0e-3, rel=0.01)
