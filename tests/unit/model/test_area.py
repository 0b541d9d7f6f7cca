"""Areas: counts, faces and holes, and what is refused."""

import pytest
from pydantic import ValidationError

from coatwright.model.area import Area
from coatwright.model.shape import Flat
from coatwright.model.substrate import Ground, Patch

WHOLE = (Patch(key="metal", ground=Ground.STEEL),)


def make(**given) -> Area:
    base = {"key": "door", "title": "Door", "shape": Flat(length=2.0, width=0.5), "patches": WHOLE}
    return Area(**{**base, **given})


def patches(*shares: float) -> tuple[Patch, ...]:
    return tuple(
        Patch(key=f"p{index}", share=share, ground=Ground.STEEL)
        for index, share in enumerate(shares)
    )


@pytest.mark.parametrize(("given", "faces", "net"), [
    ({}, 1, 1.0),
    ({"count": 3}, 3, 3.0),
    ({"both_sides": True}, 2, 2.0),
    ({"holes": 0.25}, 1, 0.75),
    # two pieces, both faces, a hole goes through each: 4 (1 - 0.1)
    ({"count": 2, "both_sides": True, "holes": 0.1}, 4, 3.6),
])  # fmt: skip
def test_surface_that_takes_paint(given, faces, net):
    area = make(**given)
    assert area.faces() == faces
    assert area.net() == pytest.approx(net, rel=1e-12)
    assert area.gross() == pytest.approx(1.0)


@pytest.mark.parametrize(
    "shares", [(1.0,), (0.75, 0.25), (1 / 3, 1 / 3, 1 / 3), (0.5, 0.4999999, 1e-7)]
)
def test_shares_that_fill_the_area(shares):
    assert len(make(patches=patches(*shares)).patches) == len(shares)


@pytest.mark.parametrize(("given", "said"), [
    ({"patches": patches(0.6, 0.3)},
     "the shares of the patches sum to 90 %; they must sum to 100 %"),
    ({"patches": patches(0.6, 0.6)},
     "the shares of the patches sum to 120 %; they must sum to 100 %"),
    ({"patches": WHOLE * 2}, "another patch has the key 'metal' too; give each its own"),
    ({"patches": ()}, "at least 1 item"),
    ({"holes": 1.0}, "holes of 1 m2 leave nothing of a face of 1 m2"),
    ({"count": 0}, "greater than or equal to 1"),
    ({"key": "Door 1"}, "pattern"),
])  # fmt: skip
def test_refused(given, said):
    with pytest.raises(ValidationError) as caught:
        make(**given)
    assert said in str(caught.value)


def test_an_area_cannot_be_changed():
    with pytest.raises(ValidationError, match="frozen"):
        make().count = 2
