"""Sentences carry their template: they are told again, copied and pickled, and stay plain text."""

import copy
import json
import pickle
from enum import StrEnum

import pytest

from coatwright.sentences import Said, apart, joined, say, tell, together

GERMAN = {
    "metal of {metal} on {area}: {why}": "{area}: Blech mit {metal}, {why}",
    "{celsius:.1f} degC": "{celsius:.1f} degC",
    "too cold": "zu kalt",
    "bare steel": "blanker Stahl",
    "on {ground}": "auf {ground}",
    "{part!c} may cost more": "{part!c} kann mehr kosten",
    "Burns. Keep away.": "Brennt. Fernhalten.",
}
COLD = say(
    "metal of {metal} on {area}: {why}",
    metal=say("{celsius:.1f} degC", celsius=3.25),
    area="too cold",
    why=say("too cold"),
)


class Ground(StrEnum):
    STEEL = "bare steel"


def german(text: str) -> str:
    told = tell(text, lambda one: GERMAN.get(one, one), lambda one: one.replace(".", ","))
    return told.filled


def test_it_is_the_english_sentence():
    assert COLD == "metal of 3.2 degC on too cold: too cold"
    assert isinstance(COLD, str)
    assert hash(COLD) == hash(str(COLD))
    assert json.loads(json.dumps({COLD: COLD})) == {str(COLD): str(COLD)}


def test_it_is_told_inside_out_and_a_persons_words_are_never_touched():
    assert german(COLD) == "too cold: Blech mit 3,2 degC, zu kalt"
    assert german("too cold") == "too cold"
    assert german(say("on {ground}", ground=Ground.STEEL)) == "auf blanker Stahl"


@pytest.mark.parametrize(
    "again", [copy.copy, copy.deepcopy, lambda x: pickle.loads(pickle.dumps(x))]
)
def test_a_copy_can_be_told_too(again):
    made = again(COLD)
    assert made == COLD
    assert german(made) == german(COLD)


def test_put_together_it_can_still_be_told():
    assert german(joined("; ", [say("too cold"), "{mine}"])) == "zu kalt; {mine}"
    assert german("x " + say("too cold") + "!") == "x zu kalt!"
    assert not joined(", ", [])


def test_a_capital_letter_and_the_first_sentence_come_after_translation():
    assert german(say("{part!c} may cost more", part=say("too cold"))) == "Zu kalt kann mehr kosten"
    assert german(say("{caution!f}", caution=Said("Burns. Keep away."))) == "Brennt."
    assert say("{caution!f}", caution="Burns. Keep away.") == "Burns."


def test_braces_of_a_text_without_places_are_braces():
    assert say("a {b} c") == "a {b} c"
    assert german(say("a {b} c")) == "a {b} c"


def test_a_sentence_is_put_away_as_plain_data_and_comes_back_the_same():
    whole = say("on {ground}", ground=joined(", ", (COLD, Ground.STEEL)))
    again = together(json.loads(json.dumps(apart(whole))))
    assert again == whole
    assert tell(again, lambda one: GERMAN.get(one, one)).filled == (
        "auf too cold: Blech mit 3.2 degC, zu kalt, blanker Stahl"
    )
    assert together(apart("somebody's {own} words")) == "somebody's {own} words"
