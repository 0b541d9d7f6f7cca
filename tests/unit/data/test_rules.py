"""The rules that ship: enough of them, sourced, in the trade's words, and all about real things."""

import re
import tomllib
from collections import Counter
from importlib.resources import files
from pathlib import Path

import pytest

from coatwright.intake.rules import load_rules, load_work
from coatwright.model.rule import FACTS, NEEDS
from coatwright.model.substrate import Ground
from coatwright.planning.advice.acts import ACTIONABLE
from spots import library

RULES = load_rules()
each_rule = pytest.mark.parametrize("rule", RULES, ids=lambda rule: rule.id)
NONE = "common practice, no source"


def sources() -> set[str]:
    folder = files("coatwright") / "data" / "sources"
    names = [item.name for item in folder.iterdir() if item.name.endswith(".toml")]
    return {key for name in names for key in tomllib.loads((folder / name).read_text("utf-8"))}


def test_there_are_at_least_forty():
    assert len(RULES) >= 40


@each_rule
def test_it_says_why_what_follows_and_where_it_comes_from(rule):
    assert len(rule.reason) > 20
    assert len(rule.failure) > 10
    assert rule.source == NONE or rule.source in sources()


@each_rule
def test_sentences_are_sentences(rule):
    for text in (rule.reason, rule.failure, rule.remedy):
        assert not text or (text[0].isupper() or text[0].isdigit())
        assert not text or text.endswith(".")
    assert not rule.title.endswith(".")


@each_rule
def test_it_promises_nothing_to_be_safe(rule):
    said = " ".join((rule.title, rule.reason, rule.failure, rule.remedy)).lower()
    assert not re.search(r"\bsafe(ly)?\b|\bharmless\b", said)


@each_rule
def test_a_fault_can_be_put_right_or_says_what_to_do(rule):
    if rule.verdict != "yes":
        assert rule.remedy


@each_rule
def test_a_plain_yes_never_blocks(rule):
    assert rule.verdict != "yes" or rule.severity in ("note", "caution")
    assert rule.verdict != "no" or rule.severity in ("fault", "ruin")


def test_needs_are_used_and_the_work_for_them_is_known():
    used = {need for rule in RULES for need in rule.needs}
    assert used <= set(NEEDS)
    assert used >= ACTIONABLE


def test_where_experts_differ_the_answer_is_no():
    differing = [rule for rule in RULES if rule.experts_differ]
    assert differing
    assert {rule.verdict for rule in differing} == {"no"}
    assert all("sheet_over" in rule.when for rule in differing)


def test_titles_are_their_own():
    assert [title for title, n in Counter(rule.title for rule in RULES).items() if n > 1] == []


def test_the_work_names_a_grade_and_a_system_for_every_ground():
    work = load_work()
    assert set(work.ground_grades) == set(Ground)
    grounds = {ground for classical in work.classical for ground in classical.grounds}
    assert grounds == set(Ground)
    families = {sheet.family for sheet in library().values()}
    assert {f for classical in work.classical for f in classical.layers} <= families


PAGE = Path(__file__).parents[3] / "docs" / "rules.md"


def facts_table() -> str:
    rows = [
        (f"`{name}`", fact.sort, fact.meaning, ", ".join(fact.words) if len(fact.words) < 8 else "")
        for name, fact in FACTS.items()
    ]
    lines = [("fact", "sort", "what it says", "words"), ("---",) * 4, *rows]
    return "".join(f"| {' | '.join(line)} |\n" for line in lines)


def test_the_page_lists_every_fact_and_need_as_it_is():
    """docs/rules.md; paste what this prints if it fails."""
    page = PAGE.read_text("utf-8")
    facts = page.split("test_rules.py compares -->\n")[1].split("<!-- end -->")[0]
    needs = page.split("<!-- needs -->")[1].split("<!-- end -->")[0]
    assert facts == facts_table()
    assert needs == ", ".join(NEEDS)
