"""May this product go on this spot: the rules of the trade, asked one by one."""

from collections.abc import Iterable, Mapping
from dataclasses import dataclass
from typing import Final, Literal, NamedTuple

from coatwright.errors import InputError
from coatwright.model.material import Material
from coatwright.model.rule import Rule
from coatwright.planning.advice.conditions import Condition, compiled, mentioned, only, read_facts
from coatwright.planning.advice.context import Context
from coatwright.planning.advice.facts import Ahead, facts_of
from coatwright.planning.advice.stack import Stack, Traits, traits
from coatwright.planning.plan import Finding
from coatwright.sentences import Said, joined, say

Verdict = Literal["yes", "yes if", "no"]

BLOCKING: Final = frozenset({"fault", "ruin"})
"""Severities that forbid a step until what the rule needs has been done."""
_ORDER: Final[Mapping[str, int]] = {"yes": 0, "yes if": 1, "no": 2}
_WORST: Final[Mapping[str, int]] = {"ruin": 0, "fault": 1, "caution": 2, "note": 3}


@dataclass(frozen=True, slots=True)
class Judgement:
    """The answer for one product on one spot: the verdict, and every rule that spoke."""

    verdict: Verdict
    findings: tuple[Finding, ...]

    @property
    def blocking(self) -> tuple[Finding, ...]:
        """What must be put right before the product may go on."""
        return tuple(f for f in self.findings if f.verdict != "yes" and f.severity in BLOCKING)

    @property
    def needs(self) -> tuple[str, ...]:
        """What the rules ask for, each once."""
        return tuple(dict.fromkeys(need for finding in self.blocking for need in finding.needs))


class _Compiled(NamedTuple):
    rule: Rule
    when: Condition
    asks: tuple[str, ...]
    products: frozenset[object] | None


class Rulebook:
    """All rules, compiled, and indexed by the product they speak of.

    Raises InputError if two rules share an id, or if a rule's own examples do not hold: it must
    fire on `fires` and keep quiet on `quiet`, without help from what is not known.
    """

    def __init__(self, rules: Iterable[Rule]) -> None:
        self.rules = tuple(rules)
        self._compiled = tuple(_compile(rule) for rule in self.rules)
        self._by_product: dict[str, tuple[_Compiled, ...]] = {}
        _refuse_doubles(self.rules)
        for one in self._compiled:
            _refuse_wrong_examples(one)

    def judge(
        self,
        material: Material,
        stack: Stack,
        context: Context,
        ahead: Ahead = Ahead(),  # noqa: B008
    ) -> Judgement:
        """May this product go on this spot, and what would follow if it did."""
        return self.judge_traits(traits(material), stack, context, ahead)

    def judge_traits(
        self,
        product: Traits,
        stack: Stack,
        context: Context,
        ahead: Ahead = Ahead(),  # noqa: B008
    ) -> Judgement:
        """The same for a product whose traits are at hand."""
        facts = facts_of(product, stack, context, ahead)
        layer = product.material.key if product.material else str(product.family)
        return judgement(
            _finding(one.rule, layer, _unknown(one, facts))
            for one in self._about(product.family)
            if _fires(one, facts)
        )

    def fired(self, facts: Mapping[str, object]) -> tuple[str, ...]:
        """The ids of the rules that speak on these facts."""
        return tuple(one.rule.id for one in self._compiled if _fires(one, facts))

    def _about(self, product: str) -> tuple[_Compiled, ...]:
        if product not in self._by_product:
            self._by_product[product] = tuple(
                one for one in self._compiled if one.products is None or product in one.products
            )
        return self._by_product[product]


def judgement(findings: Iterable[Finding]) -> Judgement:
    """A judgement from its findings: worst first, and the verdict of the strictest."""
    ordered = sorted(findings, key=lambda f: (_WORST[f.severity], -_ORDER[f.verdict]))
    verdict: Verdict = "yes"
    for finding in ordered:
        if _ORDER[finding.verdict] > _ORDER[verdict]:
            verdict = finding.verdict
    return Judgement(verdict, tuple(ordered))


def _compile(rule: Rule) -> _Compiled:
    return _Compiled(rule, compiled(rule.when), mentioned(rule.when), only(rule.when, "product"))


def _fires(one: _Compiled, facts: Mapping[str, object]) -> bool:
    answer = one.when(facts)
    return one.rule.unknown == "fires" if answer is None else answer


def _unknown(one: _Compiled, facts: Mapping[str, object]) -> tuple[str, ...]:
    """Facts the rule asks for that are not known, if that is why it fired."""
    if one.when(facts):
        return ()
    return tuple(name for name in one.asks if facts[name] is None)


def _finding(rule: Rule, layer: str, unknown: tuple[str, ...]) -> Finding:
    reason = rule.reason
    if unknown:
        named = joined(", ", (Said(name.replace("_", " ")) for name in unknown))
        reason = say(
            "{reason} Not known here, so not trusted: {named}.", reason=reason, named=named
        )
    if rule.experts_differ:
        reason = say("{reason} Opinions differ; the sheet of the tin decides.", reason=reason)
    return Finding(
        rule=rule.id,
        title=rule.title,
        severity=rule.severity,
        verdict=rule.verdict,
        layer=layer,
        reason=reason,
        failure=rule.failure,
        remedy=rule.remedy,
        needs=rule.needs,
        experts_differ=rule.experts_differ,
        source=rule.source,
    )


def _refuse_doubles(rules: tuple[Rule, ...]) -> None:
    seen: set[str] = set()
    for rule in rules:
        if rule.id in seen:
            raise InputError(
                f"two rules have the id '{rule.id}'", instead="every id must be its own"
            )
        seen.add(rule.id)


def _refuse_wrong_examples(one: _Compiled) -> None:
    for name, wanted in (("fires", True), ("quiet", False)):
        answer = one.when(read_facts(getattr(one.rule, name)))
        if answer is not wanted:
            said = "leaves it open" if answer is None else "does the opposite"
            raise InputError(
                f"on its own example '{name}' the rule '{one.rule.id}' {said}",
                field=name,
                instead="state every fact the condition asks for, as in a real case",
            )
