"""Conditions of rules, compiled once: true, false, or not known.

A fact that is None is not known. A test on it is neither true nor false (Kleene's three-valued
logic): "all" is false as soon as one part is false, whatever is not known beside it. `known` is
the one test that always answers. What a rule does where the answer stays open is its own field
`unknown`: by default it fires, because what is not known is not trusted.
"""

from collections.abc import Callable, Mapping, Sequence
from typing import Any, Final

from coatwright.model.rule import FACTS, GROUPS, fact_value, tests

Truth = bool | None
Facts = Mapping[str, object]
Condition = Callable[[Facts], Truth]


def compiled(when: Mapping[str, Any]) -> Condition:
    """The condition as a function of the facts."""
    return _every([part for name, wanted in when.items() for part in _parts(name, wanted)])


def mentioned(when: Mapping[str, Any]) -> tuple[str, ...]:
    """Names of the facts a condition asks for, each once."""
    return tuple(dict.fromkeys(name for name, _, _ in tests(when)))


def only(when: Mapping[str, Any], name: str) -> frozenset[object] | None:
    """The values of a fact outside which the condition is false for certain; None if any."""
    if name not in when or isinstance(when[name], Mapping):
        return None
    return _as_set(next(value for _, _, value in tests({name: when[name]})))


def read_facts(written: Mapping[str, object]) -> dict[str, object]:
    """The facts of a rule's example as conditions compare them; all others are not known."""
    return dict.fromkeys(FACTS) | {name: fact_value(name, value) for name, value in written.items()}


def _parts(name: str, wanted: Any) -> list[Condition]:
    if name in GROUPS:
        inner = [compiled(part) for part in wanted]
        return [{"any": _some, "all": _every, "none": _none}[name](inner)]
    return [_test(*single) for single in tests({name: wanted})]


def _every(parts: Sequence[Condition]) -> Condition:
    def run(facts: Facts) -> Truth:
        answer: Truth = True
        for part in parts:
            one = part(facts)
            if one is False:
                return False
            if one is None:
                answer = None
        return answer

    return run


def _some(parts: Sequence[Condition]) -> Condition:
    def run(facts: Facts) -> Truth:
        answer: Truth = False
        for part in parts:
            one = part(facts)
            if one:
                return True
            if one is None:
                answer = None
        return answer

    return run


def _none(parts: Sequence[Condition]) -> Condition:
    some = _some(parts)

    def run(facts: Facts) -> Truth:
        answer = some(facts)
        return None if answer is None else not answer

    return run


def _as_set(value: object) -> frozenset[object]:
    return value if isinstance(value, frozenset) else frozenset([value])


_COMPARE: Final[Mapping[str, Callable[[Any, Any], bool]]] = {
    "": lambda found, wanted: found in wanted,
    "not": lambda found, wanted: found not in wanted,
    "has": lambda found, wanted: not found.isdisjoint(wanted),
    "lacks": lambda found, wanted: found.isdisjoint(wanted),
    "above": lambda found, wanted: found > wanted,
    "below": lambda found, wanted: found < wanted,
    "coarser": lambda found, wanted: found < wanted,
    "finer": lambda found, wanted: found > wanted,
}
_SINGLE: Final = ("above", "below", "coarser", "finer")


def _test(name: str, operator: str, value: object) -> Condition:
    if operator == "known":
        return lambda facts: (facts[name] is not None) == value
    compare = _COMPARE[operator]
    wanted = value if operator in _SINGLE else _as_set(value)

    def run(facts: Facts) -> Truth:
        found = facts[name]
        return None if found is None else compare(found, wanted)

    return run
