"""The defects that ship: enough of them, sourced, in the trade's words, each sign used."""

import tomllib
from importlib.resources import files

import pytest

from coatwright.intake.defects import load_defects

KNOWN = load_defects()
NONE = "common practice, no source"
CAUSES = [(defect, cause) for defect in KNOWN.defects.values() for cause in defect.cause]
each_cause = pytest.mark.parametrize(
    ("defect", "cause"), CAUSES, ids=[f"{one.key}-{two.key}" for one, two in CAUSES]
)
# What harms, and the word by which its caution is known.
HARMS = (
    (("sand", "block", "rub ", "flat", "de-nib"), "dust"),
    (("strip to what", "strip."), "lead"),
    (("mist on slow thinner",), "burns"),
    (("warmth", "lamp"), "heat"),
)


def sources():
    folder = files("coatwright") / "data" / "sources"
    names = [item.name for item in folder.iterdir() if item.name.endswith(".toml")]
    return {key for name in names for key in tomllib.loads((folder / name).read_text("utf-8"))}


def test_there_are_at_least_twenty_five():
    assert len(KNOWN.defects) >= 25
    assert all(len(one.cause) >= 3 for one in KNOWN.defects.values())


@pytest.mark.parametrize(
    "one", [*KNOWN.signs.values(), *KNOWN.defects.values()], ids=lambda o: o.key
)
def test_it_says_where_it_comes_from(one):
    assert one.source == NONE or one.source in sources()


@each_cause
def test_every_cause_says_what_to_do_and_where_that_comes_from(defect, cause):
    assert len(cause.remedy) > 5
    assert len(cause.change) > 10
    assert cause.source == NONE or cause.source in sources()


def test_every_sign_speaks_for_something():
    used = {key for _, cause in CAUSES for key in cause.expects}
    assert used == set(KNOWN.signs)


def test_no_two_defects_share_a_name():
    names = [name.casefold() for one in KNOWN.defects.values()
             for name in {one.key, one.title, *one.also}]  # fmt: skip
    assert sorted(names) == sorted(set(names))


@pytest.mark.parametrize("defect", KNOWN.defects.values(), ids=lambda one: one.key)
def test_remedies_that_can_harm_carry_their_caution(defect):
    done = " ".join(cause.remedy for cause in defect.cause).casefold()
    for words, caution in HARMS:
        if any(word in done for word in words):
            assert caution in defect.caution.casefold(), (defect.key, caution)


def test_nothing_is_called_safe():
    texts = [text for one in KNOWN.defects.values() for text in (one.look, one.caution)]
    texts += [text for _, cause in CAUSES for text in (cause.title, cause.remedy, cause.change)]
    assert [text for text in texts if "safe" in text.casefold()] == []
