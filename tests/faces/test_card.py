"""The commands card and fan, on made-up photographs."""

import json

import pytest

from card_photos import Shot, Truth, taken
from coatwright.faces.cli import codes
from coatwright.faces.cli.main import run


@pytest.fixture
def ran(capsys):
    def call(*arguments):
        with pytest.raises(SystemExit) as left:
            run([str(one) for one in arguments])
        told = capsys.readouterr()
        return left.value.code, " ".join(told.out.split()), " ".join(told.err.split())

    return call


@pytest.fixture(scope="module")
def photo(tmp_path_factory):
    file = tmp_path_factory.mktemp("cards") / "card.jpg"
    file.write_bytes(taken(Truth(length=230.0, width=54.0), Shot(), 1))
    return file


@pytest.mark.parametrize(("paper", "size"), [("A4", "297mm"), ("Letter", "279.4mm")])
def test_the_card_is_written_at_true_size(ran, tmp_path, paper, size):
    file = tmp_path / "card.svg"
    code, told, _ = ran("card", file, "--paper", paper)
    assert code == codes.FINE
    assert "Print it at 100 %" in told
    assert "the mask, the extraction and the sparks" in told
    assert f'width="{size}"' in file.read_text()


def test_a_card_that_cannot_be_written(ran, tmp_path):
    code, _, told = ran("card", tmp_path / "no-folder" / "card.svg")
    assert code == codes.USAGE
    assert "cannot write" in told


def test_the_fan_is_told_with_its_spread_and_the_line_for_the_job_file(ran, photo):
    code, told, _ = ran("fan", photo, "--job", "demo", "--gun", "colour-gun", "--distance", "15 cm")
    assert code == codes.FINE
    assert "fan length" in told
    assert "No fault is seen in its pattern." in told
    assert 'footprint = { distance = "150 mm", length = "' in told
    assert "No card says that a gun is safe." in told


def test_json(ran, photo):
    code, told, _ = ran("fan", photo, "--json")
    found = json.loads(told)
    assert code == codes.FINE
    assert found["footprint"] is None
    length = found["cards"][0]["measures"]["length"]
    assert length["value"] == pytest.approx(0.230, rel=0.03)
    assert length["unit"] == "m"
    assert length["spread"][0] < length["value"] < length["spread"][1]


def test_a_faulty_pattern_is_told_with_causes_and_cures(ran, tmp_path):
    file = tmp_path / "bent.jpg"
    file.write_bytes(taken(Truth(bow=14.0), Shot(), 1))
    code, told, _ = ran("fan", file)
    assert code == codes.FINDINGS
    assert "bent like a banana or a crescent" in told
    assert "holes in one horn of the air cap blocked" in told
    assert "common practice, no source" in told


def test_no_picture(ran, tmp_path):
    file = tmp_path / "card.jpg"
    file.write_bytes(b"no picture")
    code, _, told = ran("fan", file)
    assert code == codes.BAD_INPUT
    assert told.endswith("card.jpg: this is no JPEG or PNG picture; save it as JPEG or PNG")


@pytest.mark.parametrize(
    ("options", "code", "sentence"),
    [
        (("--gun", "colour-gun"), codes.USAGE, "--gun and --keep need --job and --distance."),
        (("--keep",), codes.USAGE, "--gun and --keep need --job and --distance."),
        (("--distance", "15"), codes.USAGE, "'15' has no unit"),
        (
            ("--job", "demo", "--gun", "x", "--distance", "15 cm"),
            codes.NOT_FOUND,
            "there is no gun 'x'",
        ),
    ],
)
def test_what_is_missing_is_said_before_the_photograph_is_read(ran, options, code, sentence):
    found, _, told = ran("fan", "none.jpg", *options)
    assert found == code
    assert sentence in told
