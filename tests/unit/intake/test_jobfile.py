"""The job file: the invented demo, places in it, a starter, and the look of what is written."""

import tomllib
from importlib.resources import files
from pathlib import Path

import pytest

from coatwright.errors import InputError, InputErrors
from coatwright.intake import jobfile
from coatwright.model.area import Area
from coatwright.model.substrate import Family, Ground

DEMO = files("coatwright").joinpath("data/demo")
NAMES = ("larkfield.toml", "practice-board.toml", "starter.toml")
TEXT = DEMO.joinpath("larkfield.toml").read_text(encoding="utf-8")
LARKFIELD = jobfile.open_text(TEXT, "larkfield.toml")


@pytest.mark.parametrize("name", NAMES)
def test_shipped_jobs_are_invented_and_say_so(name):
    job = jobfile.load(Path(str(DEMO.joinpath(name))))
    assert job.invented


def test_the_demo_uses_every_shape_access_and_orientation():
    areas = LARKFIELD.job.areas
    kinds = {shape.model_fields["kind"].default for shape in shapes_of_the_model()}
    assert {area.shape.kind for area in areas} == kinds
    assert {area.access.kind for area in areas} == {"open", "recess", "cavity"}
    assert {area.orientation for area in areas} == {"floor", "vertical", "overhead"}
    assert {area.zone for area in areas} == {"outside", "inside", "underside", "cavity"}


def shapes_of_the_model():
    return Area.model_fields["shape"].annotation.__args__


def test_the_demo_meets_the_grounds_of_its_story():
    patches = [patch for area in LARKFIELD.job.areas for patch in area.patches]
    grounds = {patch.ground for patch in patches}
    assert grounds >= {Ground.STEEL, Ground.FILLER, Ground.ALUMINIUM, Ground.GRP, Ground.GALVANISED}
    old = {layer.family for patch in patches for layer in patch.layers}
    assert Family.UNKNOWN in old
    chosen = [patch.system for patch in patches if patch.system is not None]
    assert len(chosen) == 2
    assert ("acid-etch", "epoxy", "high-build", "solid-two-pack") in chosen  # wrong on purpose


ZONES = {
    # Small saloon or coupe, common practice, no source; each estimate +-25 %: outer skins 9-12 m2,
    # engine bay 3-4, cavities none. A two-seater has less floor and inside than a saloon.
    "outside": (9 * 0.75, 12 * 1.25),
    "engine bay": (3 * 0.75, 4 * 1.25),
}


def test_the_demo_is_about_as_large_as_such_a_car():
    outside = sum(
        area.net() / (2 if area.both_sides else 1)
        for area in LARKFIELD.job.areas
        if area.zone == "outside"
    )
    bay = sum(area.net() for area in LARKFIELD.job.areas if "ngine bay" in area.title)
    for name, surface in (("outside", outside), ("engine bay", bay)):
        low, high = ZONES[name]
        assert low < surface < high
    # "about three times the outside": 25 to 35 m2 in all
    assert 25 < sum(area.net() for area in LARKFIELD.job.areas) < 35


@pytest.mark.parametrize(("place", "written"), [
    (("title",), 'title = "Larkfield 1300'),
    (("workshop", "guns", 1, "nozzle"), 'nozzle = "1.3 mm"'),
    (("areas", 0, "shape", "rise"), 'rise = "8 cm"'),
    (("areas", 1, "patches", 2, "layers", 0, "product"), 'product = "epoxy"'),
    (("areas", 7, "patches", 0, "system", 1), 'system = ["acid-etch", "epoxy"'),
    (("areas", 7, "patches", 0, "prepared", "no such"), 'prepared = "P80"'),
    (("areas", 7, "count"), "count = 2"),
])  # fmt: skip
def test_the_line_of_a_value_is_the_line_that_holds_it(place, written):
    assert written in LARKFIELD.text.splitlines()[LARKFIELD.line(place) - 1]


def test_a_fault_found_later_names_file_line_and_field():
    place = ("areas", 7, "patches", 0, "system", 1)
    fault = LARKFIELD.fault(place, "there is no product 'epoxy'", "use one of etch")
    line = TEXT[: TEXT.index('system = ["acid-etch"')].count("\n") + 1
    assert str(fault) == (
        f'larkfield.toml:{line}, areas[8] "sills" > patches[1] "new-metal" > system[2]: '
        "there is no product 'epoxy'; use one of etch"
    )
    assert isinstance(fault, InputError)


@pytest.mark.parametrize("title", ["My car", 'A "quoted" \\ title', "Déjà vu — µm", "", "a\nb"])
def test_a_starter_is_a_good_file_with_that_title(title):
    text = jobfile.starter(title)
    assert jobfile.loads(text).title == title
    assert "# One [[areas]] table for each part" in text


def test_a_written_file_reads_like_one_made_by_hand():
    text = jobfile.dump(LARKFIELD.job)
    assert text.startswith("# A Coatwright job file.")
    assert 'shape = {kind = "flat", length = "850 mm", width = "550 mm"}' in text
    assert "both_sides = false" not in text
    assert max(map(len, text.splitlines())) <= 100
    tables = [line for line in text.splitlines() if line.startswith("[")]
    assert len(tables) > 50
    assert tomllib.loads(text)["areas"][0]["key"] == "front-wings"


def test_long_plain_values_stay_with_their_own_table():
    note = "a long note " * 20
    roof = LARKFIELD.job.areas[0].model_copy(update={"note": note})
    job = LARKFIELD.job.model_copy(update={"areas": (roof,), "owner": note})
    assert jobfile.loads(jobfile.dump(job)) == job


def test_file_and_text_are_read_alike(tmp_path):
    path = tmp_path / "job.toml"
    path.write_text(TEXT, encoding="utf-8")
    opened = jobfile.open_file(path)
    assert opened.job == LARKFIELD.job == jobfile.load(path)
    assert opened.file == str(path)
    assert opened.text == TEXT


def test_faults_carry_the_name_that_was_given():
    with pytest.raises(InputErrors) as caught:
        jobfile.loads("title = 1", "mine.toml")
    assert {fault.file for fault in caught.value.faults} == {"mine.toml"}


def test_the_fault_that_the_page_shows_is_the_fault_that_is_told():
    page = Path(__file__).resolve().parents[3] / "docs" / "job-file.md"
    broken = TEXT.replace('rise = "8 cm"', "rise = 8", 1)
    with pytest.raises(InputErrors) as caught:
        jobfile.loads(broken, "larkfield.toml")
    assert str(caught.value) in " ".join(page.read_text(encoding="utf-8").split())


def test_a_date_is_no_text():
    with pytest.raises(InputErrors, match="title: a date or time is not text"):
        jobfile.loads(TEXT.replace("title = ", "title = 1979-05-27 # ", 1))


def test_a_patch_of_no_size_is_refused():
    with pytest.raises(InputErrors, match="share: 0 % is out of range; it must be above 0"):
        jobfile.loads(TEXT.replace('share = "75 %"', 'share = "0 %"', 1))
