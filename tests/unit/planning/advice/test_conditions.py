"""Conditions answer true, false or not known, as Kleene's logic has it.

Truth tables: S. C. Kleene, Introduction to Metamathematics (1952), section 64, from memory.
"""

import pytest

from coatwright.model.rule import FACTS, Rule
from coatwright.planning.advice.conditions import compiled, mentioned, only, read_facts

T, F, U = True, False, None
# two facts of truth, `bare` and `old`; the same tables for `all` and `any`
AND = {(T, T): T, (T, F): F, (T, U): U, (F, F): F, (F, U): F, (U, U): U}
OR = {(T, T): T, (T, F): T, (T, U): T, (F, F): F, (F, U): U, (U, U): U}


def facts(**known):
    return dict.fromkeys(FACTS) | known


@pytest.mark.parametrize(("a", "b"), AND)
def test_every_test_of_a_table_must_hold(a, b):
    when = compiled({"bare": True, "old": True})
    assert when(facts(bare=a, old=b)) is AND[a, b]
    assert when(facts(bare=b, old=a)) is AND[a, b]


@pytest.mark.parametrize(("a", "b"), OR)
def test_any(a, b):
    when = compiled({"any": [{"bare": True}, {"old": True}]})
    assert when(facts(bare=a, old=b)) is OR[a, b]
    assert when(facts(bare=b, old=a)) is OR[a, b]


@pytest.mark.parametrize(("a", "b"), OR)
def test_none_is_the_contrary_of_any(a, b):
    when = compiled({"none": [{"bare": True}, {"old": True}]})
    assert when(facts(bare=a, old=b)) is (None if OR[a, b] is None else not OR[a, b])


@pytest.mark.parametrize(
    ("when", "known", "answer"),
    [
        ({"under": "epoxy primer"}, {"under": "epoxy primer"}, True),
        ({"under": ["epoxy primer", "sealer"]}, {"under": "etch primer"}, False),
        ({"under": {"not": "epoxy primer"}}, {"under": "etch primer"}, True),
        ({"under": {"not": ["epoxy primer", "etch primer"]}}, {"under": "etch primer"}, False),
        ({"total_film": {"above": "300 um"}}, {"total_film": 301e-6}, True),
        ({"total_film": {"above": "300 um"}}, {"total_film": 300e-6}, False),
        ({"age": {"below": "2 h"}}, {"age": 7199.0}, True),
        ({"age": {"above": "1 h", "below": "2 h"}}, {"age": 7200.0}, False),
        ({"grade": {"coarser": "P320"}}, {"grade": 180}, True),
        ({"grade": {"finer": "P320"}}, {"grade": 320}, False),
        ({"grade": {"coarser": "P320"}}, {"grade": 320}, False),
        ({"families": {"has": "sealer"}}, {"families": frozenset({"sealer"})}, True),
        ({"families": {"lacks": ["sealer", "cellulose"]}}, {"families": frozenset()}, True),
        ({"age": {"known": False}}, {}, True),
        ({"age": {"known": True}}, {"age": 1.0}, True),
        ({"age": {"below": "2 h"}}, {}, None),
    ],
)
def test_comparisons(when, known, answer):
    assert compiled(when)(facts(**known)) is answer


def test_facts_asked_for_are_listed_once():
    assert mentioned({"bare": True, "any": [{"old": True}, {"bare": False}]}) == ("bare", "old")


def test_values_outside_which_it_is_false():
    assert only({"product": "sealer"}, "product") == {"sealer"}
    assert only({"product": ["sealer", "cellulose"]}, "product") == {"sealer", "cellulose"}
    assert only({"product": {"not": "sealer"}}, "product") is None
    assert only({"bare": True}, "product") is None


def test_examples_are_read_in_si_and_the_rest_is_not_known():
    read = read_facts({"age": "2 h", "grade": "P400", "families": ["sealer"]})
    assert (read["age"], read["grade"]) == (7200.0, 400)
    assert read["families"] == {"sealer"}
    assert read["bare"] is None
    assert set(read) == set(FACTS)


GOOD = {
    "id": "one", "title": "One", "when": {"bare": True}, "verdict": "no", "severity": "fault",
    "reason": "Because.", "failure": "It peels.", "source": "common practice, no source",
    "fires": {"bare": True}, "quiet": {"bare": False},
}  # fmt: skip


@pytest.mark.parametrize(
    ("change", "said"),
    [
        ({"when": {}}, "the condition is empty; say when the rule speaks"),
        ({"when": {"colour": "red"}}, "'colour' is no fact"),
        ({"when": {"bare": "yes"}}, "bare is 'yes'; it must be true or false"),
        ({"when": {"under": "chalk"}}, "under is 'chalk'; it must be one of bare steel"),
        ({"when": {"age": {"over": "2 h"}}}, "'over' is no comparison"),
        ({"when": {"age": {"above": "2"}}}, "'2' has no unit"),
        ({"when": {"age": {"above": "2 bar"}}}, "'bar' is a unit of pressure"),
        ({"when": {"grade": {"finer": "400"}}}, "'400' is not a P-grade; write e.g. P400"),
        ({"when": {"any": {"bare": True}}}, "'any' is not a list of conditions"),
        ({"fires": {}}, "the example is empty"),
        ({"quiet": {"bar": True}}, "'bar' is no fact"),
        ({"needs": ("a miracle",)}, "'a miracle' is no need"),
    ],
)
def test_a_rule_that_means_nothing_is_refused(change, said):
    assert Rule(**GOOD).id == "one"
    with pytest.raises(ValueError) as caught:
        Rule(**(GOOD | change))
    assert said in str(caught.value)
