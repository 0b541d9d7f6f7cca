"""The rulebook: refuses rules that do not hold on their own examples, and sums up findings."""

import pytest

from coatwright.errors import InputError
from coatwright.intake.rules import load_rules
from coatwright.model.rule import FACTS, Rule
from coatwright.planning.advice.conditions import mentioned, read_facts
from coatwright.planning.advice.context import Context
from coatwright.planning.advice.facts import facts_of
from coatwright.planning.advice.rulebook import Rulebook, judgement
from coatwright.planning.plan import Finding
from spots import Spot, adviser, old, unknown

RULES = load_rules()


def rule(**change) -> Rule:
    usual = {
        "id": "one", "title": "One", "when": {"bare": True}, "verdict": "no", "severity": "fault",
        "reason": "Because.", "failure": "It peels.", "source": "common practice, no source",
        "fires": {"bare": True}, "quiet": {"bare": False},
    }  # fmt: skip
    return Rule(**(usual | change))


@pytest.mark.parametrize("one", RULES, ids=lambda one: one.id)
def test_fires_on_its_own_example_and_is_quiet_on_the_other(one):
    book = Rulebook([one])
    assert book.fired(read_facts(one.fires)) == (one.id,)
    assert book.fired(read_facts(one.quiet)) == ()


def test_an_example_that_does_not_hold_is_refused():
    with pytest.raises(InputError) as caught:
        Rulebook([rule(fires={"bare": False})])
    assert caught.value.sentence == (
        "fires: on its own example 'fires' the rule 'one' does the opposite; "
        "state every fact the condition asks for, as in a real case"
    )


def test_an_example_that_leaves_it_open_is_refused():
    with pytest.raises(InputError) as caught:
        Rulebook([rule(quiet={"old": True})])
    assert "the rule 'one' leaves it open" in caught.value.sentence


def test_two_rules_of_one_name_are_refused():
    with pytest.raises(InputError) as caught:
        Rulebook([rule(), rule()])
    assert caught.value.sentence == "two rules have the id 'one'; every id must be its own"


def test_what_is_not_known_fires_unless_the_rule_says_quiet():
    nothing = dict.fromkeys(FACTS)
    assert Rulebook([rule()]).fired(nothing) == ("one",)
    assert Rulebook([rule(unknown="quiet")]).fired(nothing) == ()


def finding(verdict: str, severity: str) -> Finding:
    return Finding(
        "r",
        "t",
        severity,
        verdict,
        "l",
        "",
        "",
        "",
        ("keyed",),
        False,
        "",  # type: ignore[arg-type]
    )


@pytest.mark.parametrize(
    ("said", "verdict", "blocking"),
    [
        ([], "yes", 0),
        ([("yes", "note")], "yes", 0),
        ([("yes if", "fault"), ("yes", "caution")], "yes if", 1),
        ([("yes if", "caution")], "yes if", 0),
        ([("yes if", "fault"), ("no", "ruin")], "no", 2),
    ],
)
def test_the_strictest_decides(said, verdict, blocking):
    judged = judgement(finding(*one) for one in said)
    assert (judged.verdict, len(judged.blocking)) == (verdict, blocking)


def test_findings_come_worst_first():
    said = [("yes", "note"), ("no", "ruin"), ("yes if", "caution"), ("yes if", "fault")]
    judged = judgement(finding(*one) for one in said)
    assert [f.severity for f in judged.findings] == ["ruin", "fault", "caution", "note"]


def test_the_builder_gives_exactly_the_facts_of_the_vocabulary():
    spot = Spot("epoxy", layers=(old("cellulose"), unknown()), laid=("sealer",))
    facts = facts_of(spot._product(), spot.stack(), Context())
    assert set(facts) == set(FACTS)


def test_the_builder_uses_only_words_of_the_vocabulary():
    spots = [
        Spot("epoxy"), Spot("lacquer", "GRP", laid=("grp-pretreatment", "base-solvent")),
        Spot("cavity-wax", "plastic", layers=(old("seam sealer"), unknown())),
    ]  # fmt: skip
    for spot in spots:
        for name, value in facts_of(spot._product(), spot.stack(), spot.where()).items():
            fact = FACTS[name]
            if fact.sort == "word" and value is not None:
                assert value in fact.words, name
            if fact.sort == "words":
                assert value <= set(fact.words), name
            if fact.sort == "truth":
                assert value in (True, False, None), name


def test_every_fact_is_asked_for_by_a_rule():
    """A fact that no rule asks for would be work for nothing."""
    asked = {name for one in RULES for name in mentioned(one.when)}
    assert set(FACTS) - asked == set()


@pytest.mark.parametrize(
    ("spot", "verdict"),
    [
        # common practice, no source: check values of the shop floor and trade advice
        (Spot("epoxy"), "yes"),
        (Spot("acid-etch"), "yes"),
        (Spot("epoxy", patch={"prepared": None}), "yes if"),
        (Spot("high-build", laid=("acid-etch",)), "yes"),
        (Spot("epoxy", laid=("acid-etch",)), "no"),
        (Spot("solid-two-pack", layers=(unknown(),)), "no"),
        (Spot("epoxy", layers=(unknown(),)), "yes if"),
        (Spot("high-build", layers=(old("cellulose"),)), "no"),
        (Spot("epoxy", "galvanised steel"), "no"),
    ],
)
def test_may_this_go_on_that(spot, verdict):
    assert spot.judged().verdict == verdict


def test_the_failure_that_would_follow_is_said():
    judged = Spot("solid-two-pack", layers=(old("cellulose"),)).judged()
    assert any("lifts" in found.failure for found in judged.blocking)
    assert "isolated" in judged.needs


def test_a_product_outside_the_library_is_judged_by_its_own_sheet():
    sheet = Spot("epoxy", sheet={"key": "own-epoxy"})
    assert sheet.judged().verdict == "yes"
    assert adviser().rulebook.rules == RULES
