"""What the record noted as a sentence is told in the reader's language; old ones as they stand."""

import json

from coatwright.actions.checking.history import _details
from coatwright.actions.live.following import _kept
from coatwright.faces.format import Words
from coatwright.faces.texts import tongue
from coatwright.record.events import DaysArranged, body_reader
from coatwright.sentences import Said, say

MOVED = say("{moved} more pieces of work move.", moved=3)
GERMAN = Words(tongue=tongue("de"))


def shown(body):
    """What the history says of how a day changed, after the event went through a file."""
    again = body_reader().validate_json(json.dumps(body.model_dump(mode="json")))
    assert again == body
    (detail,) = _details(again.kind, dict(again))
    assert detail.name == "changes"
    return detail.said


def test_a_changed_day_is_told_in_the_readers_language():
    (said,) = shown(DaysArranged(changes=(str(MOVED),), told=(_kept(MOVED),)))
    assert said == "3 more pieces of work move."
    assert GERMAN.tell(said) == "3 weitere Arbeiten verschieben sich."


def test_the_words_of_an_old_record_stay_as_they_were():
    (said,) = shown(DaysArranged(changes=(str(MOVED),)))
    assert said == "3 more pieces of work move."
    assert not isinstance(said, Said)


def test_somebodys_own_words_are_kept_as_such():
    (said,) = shown(DaysArranged(changes=("wait for {Anna}",), told=(_kept("wait for {Anna}"),)))
    assert GERMAN.tell(said) == "wait for {Anna}"
