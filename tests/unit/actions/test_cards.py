"""From a photograph in a file to causes, cures and the gun's footprint in the job file."""

import shutil
from importlib.resources import files

import pytest

from card_photos import Shot, Truth, replace, taken
from coatwright.actions import cards
from coatwright.engines.card.measure import Value
from coatwright.errors import InputError, NotFound
from coatwright.figures import Figure
from coatwright.intake.jobfile import open_file
from coatwright.intake.patterns import load_patterns

TRUTH = Truth(length=230.0, width=54.0, across=2.4, along=2.2)


@pytest.fixture(scope="module")
def photo(tmp_path_factory):
    file = tmp_path_factory.mktemp("cards") / "card.jpg"
    file.write_bytes(taken(TRUTH, Shot(), 1))
    return str(file)


@pytest.fixture(scope="module")
def read(photo):
    return cards.read_card(photo, "burst", cards.gun_of("demo", "colour-gun"), 0.15)


def test_an_even_fan_is_sound(read):
    assert read.sound
    assert read.faults == ()
    assert read.paper == "A4"
    length = read.measures["length"]
    assert length.value == pytest.approx(0.230, rel=0.03)
    assert length.basis == "measured"
    assert length.spread is not None
    assert length.spread[0] < length.value < length.spread[1]
    # The colour gun of the demo throws 260 mm at 150 mm.
    assert read.measures["small"].value == pytest.approx(230 / 260, rel=0.03)


def test_the_footprint_is_that_of_the_card_at_its_distance(read):
    gun = cards.gun_of("demo", "colour-gun")
    found = cards.footprint_from([read], gun, 0.12)
    assert found.after.distance == 0.12
    assert found.after.length == pytest.approx(0.230, rel=0.03)
    assert found.after.width == pytest.approx(0.054, rel=0.03)
    assert found.after.across == pytest.approx(2.4, abs=0.15)
    assert found.after.along == pytest.approx(2.2, abs=0.15)
    assert found.after.spot == pytest.approx(gun.footprint.spot * 0.8, abs=3e-4)
    assert found.line.startswith('footprint = { distance = "120 mm", length = "')


def test_two_cards_are_averaged_and_their_spread_is_how_they_differ(read):
    longer = replace(read, fan=read.fan._replace(length=Value(0.250, 0.001)))
    shorter = replace(read, fan=read.fan._replace(length=Value(0.210, 0.001)))
    found = cards.footprint_from([longer, shorter], cards.gun_of("demo", "colour-gun"), 0.15)
    assert found.after.length == pytest.approx(0.230)
    # Two values 0.04 apart: standard deviation 0.0283, that of their mean 0.02, times 1.2816.
    assert found.spreads["length"].spread == pytest.approx((0.230 - 0.025632, 0.230 + 0.025632))


def test_a_pass_keeps_the_width_that_it_does_not_show(read):
    gun = cards.gun_of("demo", "colour-gun")
    passed = replace(read, kind="pass", fan=read.fan._replace(width=None, along=None))
    found = cards.footprint_from([passed], gun, 0.15)
    assert found.after.width == gun.footprint.width
    assert found.after.along == gun.footprint.along
    assert found.notes == ("No width from a pass: kept at 50 mm.",)


def test_it_is_written_into_the_job_file_and_nothing_else_changes(read, tmp_path):
    job = tmp_path / "job.toml"
    shutil.copy(str(files("coatwright") / "data" / "demo" / "larkfield.toml"), job)
    before = job.read_text()
    found = cards.footprint_from([read], cards.gun_of(str(job), "colour-gun"), 0.15)
    cards.keep_footprint(str(job), found)
    after = job.read_text()
    gun = next(gun for gun in open_file(job).job.workshop.guns if gun.key == "colour-gun")
    assert gun.footprint == found.after
    changed = [
        (old, new)
        for old, new in zip(before.splitlines(), after.splitlines(), strict=True)
        if old != new
    ]
    assert len(changed) == 1
    assert changed[0][0].startswith("footprint = ")


def test_an_invented_job_is_not_written(read):
    found = cards.footprint_from([read], cards.gun_of("demo", "colour-gun"), 0.15)
    with pytest.raises(InputError, match=r"^'demo' is an invented job; name your own job file$"):
        cards.keep_footprint("demo", found)


def values(**changed):
    even = {
        "ends": 0.4, "dip": -0.3, "top": 1.0, "side": 1.0, "bow": 0.0, "spots": 2.0, "small": 1.0,
        "hidden": 0.0,
    }  # fmt: skip
    return {name: Value(one, 0.01) for name, one in (even | changed).items()}


FAULTS = {
    "split": {"dip": 0.3},
    "heavy-ends": {"ends": 0.9},
    "heavy-middle": {"ends": 0.1},
    "heavy-end": {"top": 1.5},
    "side-heavy": {"side": 1.4},
    "banana": {"bow": 0.3},
    "small": {"small": 0.6},
    "spitting": {"spots": 50.0},
    "too-full": {"hidden": 0.6},
}


@pytest.mark.parametrize(("key", "changed"), FAULTS.items(), ids=FAULTS)
def test_each_measure_tells_its_fault_and_no_other(key, changed):
    seen = [found for one in load_patterns() if (found := cards.seen(one, values(**changed)))]
    assert [one.key for one in seen] == [key]
    assert seen[0].sure
    assert seen[0].causes
    assert seen[0].cures
    assert seen[0].source == "common practice, no source"
    assert isinstance(seen[0].measure, Figure)


def test_every_fault_of_the_data_is_told_above():
    assert {one.key for one in load_patterns()} == set(FAULTS)


def test_a_value_hardly_beyond_its_bound_is_not_sure():
    near = values() | {"top": Value(1.26, 0.05)}
    seen = [found for one in load_patterns() if (found := cards.seen(one, near))]
    assert [(one.key, one.sure) for one in seen] == [("heavy-end", False)]


def test_a_faulty_pattern_does_not_become_the_footprint(read):
    bent = next(one for one in load_patterns() if one.key == "banana")
    fault = cards.seen(bent, values(bow=0.3))
    with pytest.raises(InputError) as refused:
        cards.footprint_from(
            [replace(read, faults=(fault,))], cards.gun_of("demo", "spot-gun"), 0.12
        )
    assert str(refused.value) == (
        f"{read.photo}: this pattern does not become the footprint: bent like a banana or a "
        "crescent; mend the gun, then spray a new card"
    )


def test_the_gun_must_be_known():
    with pytest.raises(NotFound, match=r"^there is no gun 'x'; name one of "):
        cards.gun_of("demo", "x")
    with pytest.raises(NotFound, match=r"^which gun sprayed the card is not said; name one of "):
        cards.gun_of("demo", None)


def test_what_cannot_be_read_names_the_file(tmp_path):
    file = tmp_path / "dark.jpg"
    file.write_bytes(taken(TRUTH, Shot(exposure=0.05), 1))
    with pytest.raises(InputError) as refused:
        cards.read_card(str(file))
    assert str(refused.value).startswith(f"{file}: the picture is too dark, the paper gives")
    assert str(refused.value).endswith("; take it in daylight or expose more")
