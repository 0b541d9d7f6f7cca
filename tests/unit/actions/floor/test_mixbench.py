"""At the mix bench: targets add up, a slip is put right, thinner by the cup."""

from importlib.resources import files

import pytest

from coatwright.actions.floor.mixbench import mix_bench, mixes_made, thinner, to_mix
from coatwright.actions.live import following
from coatwright.actions.shop import Shop
from coatwright.engines import rheology
from coatwright.errors import InputError, NotFound
from coatwright.planning.strokes.ready import thinner_viscosity
from coatwright.record.events import Bought, Mixed
from coatwright.record.store.ledger import Record

TEXT = (files("coatwright") / "data" / "demo" / "practice-board.toml").read_text("utf-8")


@pytest.fixture(scope="module")
def shop(tmp_path_factory):
    folder = tmp_path_factory.mktemp("shop")
    with Record(f"sqlite:///{folder / 'record.db'}", folder / "files") as record:
        made = Shop(record, folder)
        made.take_in("board", TEXT, "painter")
        yield made


@pytest.fixture(scope="module")
def need(shop):
    return next(n for n in shop.plan("board").products if n.batches and len(n.batches[0].pours) > 1)


def test_targets_add_up_to_the_whole_mix(shop, need):
    bench = mix_bench(shop, "board", need.batches[0].key)
    assert sum(one.alone for one in bench.targets) == pytest.approx(bench.targets[-1].cumulative)
    volume = need.batches[0].volume.value
    assert bench.targets[-1].cumulative == pytest.approx(volume * bench.density, abs=2e-3)
    assert bench.cautions
    assert bench.mixed == ""


def test_who_mixed_it_and_what_is_on_the_shelf(shop, need):
    batch, first = need.batches[0], need.batches[0].pours[0]
    pack = Bought(product=need.key, component=first.key, volume=1e-3, lot="L7", expiry="2027-01-01")
    shop.happened("board", "painter", pack)
    assert mix_bench(shop, "board", batch.key).targets[0].lots == ("L7",)
    shop.happened(
        "board", "painter", Mixed(mix=batch.key, product=need.key, parts={first.key: 0.1})
    )
    assert mix_bench(shop, "board", batch.key).mixed.startswith("painter, ")


def test_thinner_blends_the_timed_viscosity_to_the_sheets(shop, need):
    material = shop.open("board").bench.library[need.key]
    wanted = (material.spray.min + material.spray.max) / 2
    nothing = thinner(shop, "board", need.key, f"{wanted:g}", "500")
    assert nothing.value == pytest.approx(0.0, abs=1e-9)
    found = thinner(shop, "board", need.key, f"{wanted * 1.15:g}", "500 g")
    assert 0 < found.value < 0.1
    # Blended back by the same rule, so much thinner takes exactly so many seconds off.
    density = mix_bench(shop, "board", need.batches[0].key).density
    part = found.value / material.component("thinner").density
    share = part / (part + 0.5 / density)
    now = rheology.kinematic_viscosity(material.spray.cup, wanted * 1.15)
    thinned = rheology.blend(now, thinner_viscosity(material), share)
    seconds = rheology.cup_seconds(material.spray.cup, thinned)
    assert "stopped" not in found.formula
    assert seconds == pytest.approx(wanted, rel=0.01)


@pytest.mark.parametrize(("seconds", "mass"), [("soon", "500"), ("30", "5 bar")])
def test_what_cannot_be_read_is_refused(shop, need, seconds, mass):
    with pytest.raises(InputError):
        thinner(shop, "board", need.key, seconds, mass)


def test_an_unknown_mix(shop):
    with pytest.raises(NotFound, match="there is no mix 'x'"):
        mix_bench(shop, "board", "x")


def test_the_mixes_of_the_days_stand_on_the_bench(shop):
    """What the live day asks to be stirred is what is poured: its amount, its areas, its parts."""
    days = shop.days("board")
    areas = {entry.key: entry.area for entry in days.entries}
    listed = {mix.key: mix for mixes in to_mix(shop, "board").values() for mix in mixes}
    assert days.mixes
    for mix in days.mixes:
        bench = mix_bench(shop, "board", mix.key)
        assert bench.batch.volume.value == mix.volume.value
        weight = sum(target.exact for target in bench.targets)
        assert weight == pytest.approx(mix.volume.value * bench.density)
        assert set(listed[mix.key].serves) == {areas[coat] for coat in mix.serves}


def test_a_mix_of_the_days_is_made_whatever_it_was_called(tmp_path):
    with Record(f"sqlite:///{tmp_path / 'record.db'}", tmp_path / "files") as record:
        shop = Shop(record, tmp_path)
        shop.take_in("board", TEXT, "painter")
        first = min(shop.days("board").mixes, key=lambda mix: mix.start.value)
        following.look(shop, "board")  # somebody follows them
        assert mixes_made(shop, "board") == {}
        pot = Mixed(mix="what was left", product=first.product, parts={})
        shop.happened("board", "painter", pot)
        made = mixes_made(shop, "board")
        assert {key: mix.name for key, mix in made.items() if mix.product == first.product} == {
            first.key: "what was left", "what was left": "what was left",
        }  # fmt: skip
        bench = mix_bench(shop, "board", first.key)
        assert (bench.name, bench.made) == ("what was left", made[first.key])
