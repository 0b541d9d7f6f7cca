"""The walk round: measures, patches, what is not trusted; each change one that can be undone."""

import math

import pytest

from coatwright.actions.floor import areas
from coatwright.actions.shop import Shop
from coatwright.errors import InputError, NotFound
from coatwright.record.store.ledger import Record


@pytest.fixture
def shop(tmp_path):
    with Record(f"sqlite:///{tmp_path / 'record.db'}", tmp_path / "files") as record:
        yield Shop(record, tmp_path)


@pytest.fixture
def key(shop):
    return shop.start("A roadster", "painter", demo=True)


FLAT = {"kind": "flat", "length": "85 cm", "width": "58 cm", "title": "Splash panel"}


def test_every_shape_says_what_to_measure():
    found = areas.shapes()
    assert len(found) == 8
    assert [m.name for m in found["channel"]] == ["length", "width", "depth"]
    assert all(m.meaning and m.example for shape in found.values() for m in shape)


def test_sizes_by_plain_geometry():
    assert areas.sized("flat", FLAT).face == pytest.approx(0.85 * 0.58)
    both = areas.sized("flat", {**FLAT, "count": "3", "both_sides": "yes"})
    assert both.all == pytest.approx(6 * 0.85 * 0.58)
    tube = areas.sized("tube", {"length": "1 m", "diameter": "25 mm"})
    assert tube.face == pytest.approx(math.pi * 0.025)


@pytest.mark.parametrize(
    ("given", "words"),
    [
        ({"length": "85", "width": "58 cm"}, "'85' has no unit"),
        ({"length": "85 cm"}, "width: Field required"),
        ({"length": "5 bar", "width": "58 cm"}, "unit of pressure, not of length"),
    ],
)
def test_what_is_wrong_is_one_sentence(given, words):
    with pytest.raises(InputError) as caught:
        areas.sized("flat", given)
    assert words in caught.value.sentence


def test_an_area_is_added_measured_anew_and_taken_out(shop, key):
    before = len(shop.open(key).bench.job.areas)
    added = areas.add_area(shop, key, "painter", {**FLAT, "ground": "aluminium"})
    assert added.key == "splash-panel"
    assert added.patches[0].ground == "aluminium"
    again = areas.change_area(shop, key, "painter", added.key, {**FLAT, "length": "1 m"})
    assert again.net() == pytest.approx(0.58)
    assert again.patches == added.patches
    removed = areas.remove_area(shop, key, "painter", added.key)
    assert len(shop.open(key).bench.job.areas) == before
    shop.undo(key, "painter", removed.id)
    assert areas.find_area(shop.open(key), added.key)[1] == again


def test_not_trusted_is_one_tap_and_stripping_ends_it(shop, key):
    (patch,) = areas.find_area(shop.open(key), "bonnet")[1].patches
    areas.change_patch(shop, key, "painter", ("bonnet", patch.key), {"trust": "no"})
    (now,) = areas.find_area(shop.open(key), "bonnet")[1].patches
    assert now.layers == areas.UNTRUSTED
    areas.change_patch(shop, key, "painter", ("bonnet", patch.key), {"trust": "bare"})
    (now,) = areas.find_area(shop.open(key), "bonnet")[1].patches
    assert now.layers == ()


def test_a_part_of_an_area_is_told_apart(shop, key):
    given = {"share": "15 %", "ground": "polyester filler"}
    areas.change_patch(shop, key, "painter", ("bonnet", ""), given)
    patches = areas.find_area(shop.open(key), "bonnet")[1].patches
    assert [patch.share for patch in patches] == pytest.approx([0.85, 0.15])
    assert patches[1].ground == "polyester filler"
    with pytest.raises(InputError, match="it must be less than 85%"):
        areas.change_patch(shop, key, "painter", ("bonnet", ""), {"share": "90"})
    with pytest.raises(NotFound):
        areas.change_patch(shop, key, "painter", ("bonnet", "nowhere"), {"trust": "no"})


def test_an_area_needs_a_name(shop, key):
    with pytest.raises(InputError, match="the area has no name"):
        areas.add_area(shop, key, "painter", {**FLAT, "title": " "})
