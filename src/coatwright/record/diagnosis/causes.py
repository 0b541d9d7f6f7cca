"""Causes of a defect in order of how well each explains the record.

Bayes' rule with signs taken as independent, in logarithms. Beside the causes stands one more: that
it was something else. Before the record is looked at it is as likely as the commonest cause, and
every reading within its bound speaks for it; so without a broken bound no cause can come above one
half, and none is named.
"""

import math
from collections.abc import Mapping, Sequence
from dataclasses import dataclass
from datetime import datetime

from coatwright.errors import NotFound
from coatwright.figures import Figure
from coatwright.model.defect import Cause, Check, Defect, Pathology
from coatwright.record.diagnosis.evidence import Evidence, Examiner, often, ratio
from coatwright.record.diagnosis.signs import SURE
from coatwright.record.diagnosis.story import Story

EXPLAINED = 0.5
"""The record explains a defect if the causes with a broken bound are together so likely."""
BLAMED = 0.3
"""A cause is named as one if it is at least so likely, and a bound of its own is broken."""

_FORMULA = "prior x chance of each reading where it is to blame / where it is not, summed to 1"
_SOURCE = "naive-bayes"


@dataclass(frozen=True, slots=True)
class Answer:
    """The answer to a check by hand; yes None: not looked at yet."""

    check: Check
    yes: bool | None


@dataclass(frozen=True, slots=True)
class NextCheck:
    """What to find out next; worth is the share of the doubt it is expected to take away."""

    key: str
    do: str
    worth: Figure
    by_hand: bool


@dataclass(frozen=True, slots=True)
class Ranked:
    """One cause: how likely, what speaks for and against it, what is not known, what to do."""

    cause: Cause
    chance: Figure
    blamed: bool
    speaks_for: tuple[Evidence, ...]
    speaks_against: tuple[Evidence, ...]
    unsure: tuple[Evidence, ...]
    not_recorded: tuple[Evidence, ...]
    answers: tuple[Answer, ...]
    next: NextCheck | None


@dataclass(frozen=True, slots=True)
class Diagnosis:
    """What the record says of one defect.

    explained: the record holds at least one cause. otherwise is the chance that it was something
    that stands in no list. checks are what to find out next, the most telling first.
    """

    defect: Defect
    area: str
    product: str
    at: datetime
    explained: bool
    otherwise: Figure
    causes: tuple[Ranked, ...]
    checks: tuple[NextCheck, ...]
    not_recorded: tuple[Evidence, ...]

    @property
    def blamed(self) -> tuple[Ranked, ...]:
        """The causes that the record names, the likeliest first."""
        return tuple(one for one in self.causes if one.blamed)


@dataclass(frozen=True, slots=True)
class _Test:
    """One thing that can speak for or against causes: its chances of yes by cause, and usually."""

    key: str
    do: str
    chances: Mapping[str, float]
    usual: float
    by_hand: bool


@dataclass(frozen=True, slots=True)
class _Weighed:
    """A cause with its evidence and the logarithm of its weight."""

    cause: Cause
    found: tuple[Evidence, ...]
    answers: tuple[Answer, ...]
    weight: float


def diagnose(
    story: Story,
    defect: Defect,
    pathology: Pathology,
    product: str = "",
    answers: Mapping[str, bool] | None = None,
) -> Diagnosis:
    """Rank the causes of a defect seen in a layer (product '': the last) against the record.

    Raises NotFound if no coat is on record there.

    answers holds what was found by hand: key of a check of the defect, and yes or no.
    """
    index = _layer(story, product)
    examiner = Examiner(story, index)
    weighed = [_weigh(cause, defect, pathology, examiner, answers or {}) for cause in defect.cause]
    chances, otherwise = _posterior(weighed)
    broken = sum(chances[one.cause.key] for one in weighed if _broken(one))
    explained = broken >= EXPLAINED
    tests = _tests(weighed)
    ranked = sorted(
        (
            _ranked(one, chances, explained, _most_telling(tests, chances, one.cause.key))
            for one in weighed
        ),
        key=lambda one: -one.chance.value,
    )
    return Diagnosis(
        defect=defect,
        area=story.area,
        product=story.layers[index].product if story.layers else product,
        at=story.until,
        explained=explained,
        otherwise=_share(otherwise),
        causes=tuple(ranked),
        checks=_most_telling(tests, chances),
        not_recorded=_not_recorded(ranked),
    )


def _layer(story: Story, product: str) -> int:
    if not story.layers:
        raise NotFound(
            f"no coat is on record for '{story.area}'", instead="record the coats that were laid"
        )
    named = [number for number, one in enumerate(story.layers) if one.product == product]
    return named[-1] if named else len(story.layers) - 1


def _weigh(
    cause: Cause,
    defect: Defect,
    pathology: Pathology,
    examiner: Examiner,
    answers: Mapping[str, bool],
) -> _Weighed:
    found = tuple(examiner.examine(pathology.signs[key], cause.where) for key in cause.expects)
    checks = {one.key: one for one in defect.check}
    given = tuple(Answer(checks[key], answers.get(key)) for key in cause.answers)
    weight = math.log(cause.prior)
    weight += sum(_speaks(cause, one) for one in found)
    weight += sum(_answered(cause, one) for one in given)
    return _Weighed(cause, found, given, weight)


def _speaks(cause: Cause, one: Evidence) -> float:
    expects, usual = often(cause.expects[one.sign.key], one.sign.usual, one.count)
    return ratio(one.chance, expects, usual)


def _answered(cause: Cause, one: Answer) -> float:
    if one.yes is None:
        return 0.0
    chance = SURE if one.yes else 1.0 - SURE
    return ratio(chance, cause.answers[one.check.key], one.check.usual)


def _posterior(weighed: Sequence[_Weighed]) -> tuple[dict[str, float], float]:
    """Chance of each cause, and of something else, which begins with as much as the commonest."""
    rest = math.log(max(one.cause.prior for one in weighed))
    highest = max(rest, *(one.weight for one in weighed))
    raw = {one.cause.key: math.exp(one.weight - highest) for one in weighed}
    other = math.exp(rest - highest)
    total = sum(raw.values()) + other
    return {key: value / total for key, value in raw.items()}, other / total


def _broken(one: _Weighed) -> bool:
    return any(found.state == "broken" for found in one.found) or any(
        answer.yes for answer in one.answers
    )


def _ranked(
    one: _Weighed, chances: Mapping[str, float], explained: bool, checks: tuple[NextCheck, ...]
) -> Ranked:
    chance = chances[one.cause.key]
    return Ranked(
        cause=one.cause,
        chance=_share(chance),
        blamed=explained and chance >= BLAMED and _broken(one),
        speaks_for=_in_state(one, "broken"),
        speaks_against=_in_state(one, "kept", "does not arise"),
        unsure=_in_state(one, "unsure"),
        not_recorded=_in_state(one, "not recorded"),
        answers=one.answers,
        next=checks[0] if checks else None,
    )


def _in_state(one: _Weighed, *states: str) -> tuple[Evidence, ...]:
    return tuple(found for found in one.found if found.state in states)


def _share(value: float) -> Figure:
    return Figure(value, "fraction", "formula", _SOURCE, _FORMULA)


def _not_recorded(ranked: Sequence[Ranked]) -> tuple[Evidence, ...]:
    """Every sign that nothing was recorded of, once, those of likely causes first."""
    found = {one.sign.key: one for cause in reversed(ranked) for one in cause.not_recorded}
    return tuple(reversed(found.values()))


def _tests(weighed: Sequence[_Weighed]) -> list[_Test]:
    """All that could still be found out: signs not recorded, checks not answered."""
    tests: dict[tuple[str, str], _Test] = {}
    for one in weighed:
        for found in one.found:
            if found.state == "not recorded":
                key = (found.sign.key, found.where)
                expects, usual = often(
                    one.cause.expects[found.sign.key], found.sign.usual, found.count
                )
                known = tests.get(key)
                chances = {**(known.chances if known else {}), one.cause.key: expects}
                tests[key] = _Test(found.sign.key, found.sign.do, chances, usual, False)
        for answer in one.answers:
            if answer.yes is None:
                check = answer.check
                known = tests.get((check.key, ""))
                chance = one.cause.answers[check.key]
                chances = {**(known.chances if known else {}), one.cause.key: chance}
                tests[check.key, ""] = _Test(check.key, check.do, chances, check.usual, True)
    return list(tests.values())


def _most_telling(
    tests: Sequence[_Test], chances: Mapping[str, float], about: str = ""
) -> tuple[NextCheck, ...]:
    """The tests by the doubt each is expected to take away: about all causes, or about one."""
    spread = _about(chances, about)
    doubt = entropy(list(spread.values()))
    if doubt <= 0.0:
        return ()
    found = []
    for test in tests:
        yes = {key: test.chances.get(key, test.usual) for key in chances}
        gain = information(chances, yes, test.usual, about)
        if gain > 1e-9:
            found.append(NextCheck(test.key, test.do, _worth(gain / doubt), test.by_hand))
    return tuple(sorted(found, key=lambda one: -one.worth.value))


def _worth(share: float) -> Figure:
    return Figure(
        share, "fraction", "formula", "shannon-1948", "expected fall of the entropy / entropy"
    )


def information(
    chances: Mapping[str, float], yes: Mapping[str, float], usual: float, about: str = ""
) -> float:
    """Expected fall of the doubt [nat] by one test with those chances of yes.

    chances are those of the causes; what is left of 1 is something else, with the usual chance.
    """
    rest = max(0.0, 1.0 - sum(chances.values()))
    likely = sum(chances[key] * yes[key] for key in chances) + rest * usual
    before = entropy(list(_about(chances, about).values()))
    after = 0.0
    for share, said in ((likely, True), (1.0 - likely, False)):
        if share <= 0.0:
            continue
        posterior = {
            key: chances[key] * (yes[key] if said else 1.0 - yes[key]) / share for key in chances
        }
        after += share * entropy(list(_about(posterior, about).values()))
    return max(0.0, before - after)


def _about(chances: Mapping[str, float], about: str) -> dict[str, float]:
    """All causes and the rest; or one cause and all else."""
    if about:
        return {about: chances[about], "": 1.0 - chances[about]}
    return {**chances, "": max(0.0, 1.0 - sum(chances.values()))}


def entropy(shares: Sequence[float]) -> float:
    """Doubt in a distribution [nat]: minus the sum of p ln p."""
    return -sum(share * math.log(share) for share in shares if share > 0.0)
