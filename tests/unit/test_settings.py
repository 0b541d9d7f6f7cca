"""Settings: environment before file before default; what is wrong is told in a sentence."""

from pathlib import Path

import pytest

from coatwright.errors import InputError
from coatwright.settings import SETTINGS, load


def test_without_anything_set_the_record_lies_with_the_users_data(tmp_path):
    found = load({"XDG_DATA_HOME": str(tmp_path), "XDG_CONFIG_HOME": str(tmp_path)})
    assert found.record == tmp_path / "coatwright"
    assert found.database == f"sqlite:///{tmp_path}/coatwright/record.db"
    assert found.who == ""


def test_the_environment_counts_before_the_file(tmp_path):
    file = tmp_path / "mine.toml"
    file.write_text('record = "/srv/paint"\nwho = "Wren"\n', "utf-8")
    found = load({"COATWRIGHT_SETTINGS": str(file), "COATWRIGHT_WHO": "Ash"})
    assert (found.record, found.who) == (Path("/srv/paint"), "Ash")
    assert found.database == "sqlite:////srv/paint/record.db"
    url = "postgresql://shop@db/paint"
    assert load({"COATWRIGHT_SETTINGS": str(file), "COATWRIGHT_DATABASE": url}).database == url


@pytest.mark.parametrize(
    ("text", "words"),
    [
        ('wo = "Ash"', "there is no setting 'wo'; there are record, database, who"),
        ("who = 3", "who: a setting is text in quotes"),
        ("who = ", "the settings cannot be read: "),
    ],
)
def test_a_file_that_is_wrong_is_told(tmp_path, text, words):
    file = tmp_path / "mine.toml"
    file.write_text(text, "utf-8")
    with pytest.raises(InputError) as refused:
        load({"COATWRIGHT_SETTINGS": str(file)})
    assert words in refused.value.sentence
    assert refused.value.sentence.startswith(str(file))


def test_every_setting_is_in_the_manual():
    page = (Path(__file__).parents[2] / "docs" / "record.md").read_text("utf-8")
    for one in SETTINGS:
        assert f"`{one.name}`" in page
        assert f"COATWRIGHT_{one.name.upper()}" in page
