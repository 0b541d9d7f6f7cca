"""Reading defects and signs: what is refused, where it stands, and what would be right."""

import pytest

from coatwright.errors import InputErrors
from coatwright.intake.defects import load_defects

SIGN = """
[[sign]]
key = "smell"
title = "smell of thinner"
broken = "it smelt"
kept = "it did not smell"
purpose = "time"
bound = "10 min"
bound_from = "common practice"
usual = 0.1
do = "Smell it."
source = "common practice, no source"
"""
DEFECT = """
[[defect]]
key = "odd"
title = "odd"
look = "It looks odd."
source = "common practice, no source"

[[defect.cause]]
key = "one"
title = "It is one."
prior = 1.0
expects = { "flash-short" = 0.9 }
remedy = "Mend it."
change = "Do not."
source = "common practice, no source"

[[defect.cause]]
key = "two"
title = "It is two."
prior = 1.0
expects = { "dew-near" = 0.9 }
remedy = "Mend it."
change = "Do not."
source = "common practice, no source"
"""


@pytest.fixture
def refused(tmp_path):
    def read(text):
        file = tmp_path / "own.toml"
        file.write_text(text)
        with pytest.raises(InputErrors) as fault:
            load_defects([file])
        return fault.value.faults

    return read


def test_a_shop_may_add_defects_and_signs(tmp_path):
    (tmp_path / "signs.toml").write_text(SIGN)
    (tmp_path / "own.toml").write_text(DEFECT.replace("flash-short", "smell"))
    known = load_defects([tmp_path / "signs.toml", tmp_path / "own.toml"])
    assert known.signs["smell"].limit == 600.0
    assert [one.key for one in known.defects["odd"].cause] == ["one", "two"]


def test_a_defect_of_the_same_key_stands_in_for_ours(tmp_path):
    (tmp_path / "own.toml").write_text(DEFECT.replace('key = "odd"', 'key = "runs"'))
    assert load_defects([tmp_path / "own.toml"]).defects["runs"].title == "odd"


def test_a_sign_that_does_not_exist_is_named_with_its_file(refused):
    [fault] = refused(DEFECT.replace("flash-short", "flash-shrt"))
    assert fault.file.endswith("own.toml")
    assert fault.sentence.endswith(
        "odd, one, expects flash-shrt: there is no 'flash-shrt'; name one that is there"
    )


def test_a_sign_may_not_speak_against_its_own_cause(refused):
    """Otherwise a bound that was kept would accuse."""
    [fault] = refused(DEFECT.replace('"flash-short" = 0.9', '"flash-short" = 0.01'))
    assert "found as often where it is not to blame" in fault.what
    assert fault.instead == "give the cause a greater chance"


@pytest.mark.parametrize(
    ("old", "new", "field"),
    [
        ('purpose = "time"', 'purpose = "taste"', "purpose"),
        ('bound = "10 min"', 'bound = "10 bar"', "bound"),
        ("usual = 0.1", "usual = 0", "usual"),
        ('do = "Smell it."', 'do = "Smell it"', "do"),
    ],
)
def test_faults_of_a_sign_are_told_by_field(refused, old, new, field):
    [fault] = refused(SIGN.replace(old, new))
    assert field in fault.field
    assert fault.line > 1


def test_a_cause_without_signs_or_checks_is_refused(refused):
    [fault] = refused(DEFECT.replace('expects = { "dew-near" = 0.9 }\n', ""))
    assert fault.what == "nothing speaks for this cause"


def test_an_answer_to_no_check_is_refused(refused):
    text = DEFECT.replace('expects = { "dew-near" = 0.9 }', 'answers = { "sniff" = 0.9 }')
    [fault] = refused(text)
    assert fault.what == "there is no 'sniff'"
