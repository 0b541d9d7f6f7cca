"""A rule of the trade as data: when it speaks, what it says, and why."""

from collections.abc import Iterator, Mapping
from typing import Annotated, Any, Final, Literal, NamedTuple

from pydantic import AfterValidator, Field

from coatwright import units
from coatwright.errors import InputError
from coatwright.model.quantity import Key, Part, Prose
from coatwright.model.substrate import Family, Ground

Verdict = Literal["yes", "yes if", "no"]
Severity = Literal["note", "caution", "fault", "ruin"]
Sort = Literal["word", "truth", "time", "film", "grade", "words"]


class Fact(NamedTuple):
    """One thing a rule may ask about: its sort, what it means, and its words if they are few."""

    sort: Sort
    meaning: str
    words: tuple[str, ...] = ()


_FAMILIES: Final = tuple(family.value for family in Family)
_SURFACES: Final = tuple(dict.fromkeys([*(ground.value for ground in Ground), *_FAMILIES]))
_SHEET: Final = ("allows", "forbids", "silent")
KINDS: Final = (
    "pre-treatment", "etch", "primer", "build", "sealer", "basecoat", "colour", "lacquer",
    "protection", "sundry",
)  # fmt: skip

FACTS: Final[Mapping[str, Fact]] = {
    # what is to go on
    "product": Fact("word", "family of the product that is to go on", _FAMILIES),
    "kind": Fact("word", "what that product is for", KINDS),
    "two_pack": Fact("truth", "the product is mixed with a hardener"),
    "strong_solvent": Fact("truth", "its solvent softens paint that is soluble"),
    "porous": Fact("truth", "its dry film lets water through"),
    "sheet_ground": Fact("word", "what its sheet says of this ground", _SHEET),
    "sheet_over": Fact("word", "what its sheet says of the layer under it", _SHEET),
    "last": Fact("truth", "it is the last layer of the system"),
    "next": Fact("word", "family that follows it", _FAMILIES),
    "product_film": Fact("film", "dry film of this product on the spot when it has been laid"),
    # what it meets
    "ground": Fact("word", "what the patch is made of", tuple(ground.value for ground in Ground)),
    "metal": Fact("truth", "the ground is a metal"),
    "bare": Fact("truth", "nothing is on the ground"),
    "under": Fact("word", "family of the uppermost layer, or the ground if bare", _SURFACES),
    "under_kind": Fact("word", "what the uppermost layer is for", (*KINDS, "ground")),
    "under_two_pack": Fact("truth", "the uppermost layer cured with a hardener"),
    "same_family": Fact("truth", "the uppermost layer is of the product's own family"),
    "old": Fact("truth", "the uppermost layer was there before this plan"),
    "from_ground": Fact("truth", "no old paint is left: the system starts at the ground"),
    "families": Fact("words", "families of all layers on the spot", _FAMILIES),
    "age": Fact("time", "time since the uppermost layer was laid"),
    "window": Fact(
        "word", "recoat window of that layer", ("early", "open", "lifting", "past", "no limit")
    ),
    "past": Fact(
        "word", "what its sheet asks past the window",
        ("abrade", "abrade and recoat", "strip", "no limit"),
    ),
    "cured": Fact("truth", "the uppermost layer is through-dry"),
    "sound": Fact("truth", "all old layers are sound: no cracks, no lifting"),
    "keyed": Fact("truth", "the surface was abraded and not coated since"),
    "grade": Fact("grade", "P-grade it was last abraded with"),
    "shows": Fact("truth", "scratches under the product are coarser than it hides"),
    "rough": Fact("truth", "the texture of a build primer is still to be rubbed flat"),
    "degreased": Fact("truth", "wiped twice with degreaser since it was last touched"),
    "rust": Fact("truth", "rust is on the surface"),
    "acid": Fact("truth", "acid is left on the surface"),
    "under_porous": Fact("truth", "the uppermost layer lets water through"),
    "outdoors": Fact("truth", "the uppermost layer has stood outdoors"),
    "exposed": Fact(
        "word", "soluble or unknown paint that nothing cured and tight covers", (*_FAMILIES, "none")
    ),
    "isolation": Fact(
        "word", "what lies between soluble or unknown paint and the product",
        ("not needed", "missing", "uncured", "cured"),
    ),
    "tests": Fact(
        "words", "tests passed on this spot",
        ("solvent rub", "film gauge", "cross-hatch", "test patch"),
    ),
    "film_known": Fact("truth", "the film of every old layer is known or was gauged"),
    "total_film": Fact("film", "dry film on the spot with the product, stone-chip and wax aside"),
    "has_primer": Fact("truth", "something that primes lies between ground and product"),
    "has_barrier": Fact("truth", "a primer that keeps water out lies under the product"),
    "has_build": Fact("truth", "a build primer or an old finish lies under the product"),
    # where and when
    "bare_for": Fact("time", "how long the ground has been bare since it was abraded"),
    "metal_waits": Fact("truth", "primed metal must wait days for the next layer"),
    "zone": Fact("word", "where on the body", ("outside", "inside", "underside", "cavity")),
    "access": Fact("word", "how the gun reaches it", ("open", "recess", "cavity")),
    "orientation": Fact("word", "how the surface lies", ("floor", "vertical", "overhead")),
    "finish": Fact("word", "finish wanted", ("show", "good", "plain")),
    "spot_repair": Fact("truth", "only a spot within a panel is coated"),
    "stands_outdoors": Fact("truth", "the body will stand outdoors before it is finished"),
    "break_through": Fact("truth", "rubbing down has gone through to a layer below"),
    "cold": Fact("truth", "metal or air is colder than the sheet allows"),
    "hot": Fact("truth", "metal or air is hotter than the sheet allows"),
    "humid": Fact("truth", "the air is damper than the sheet allows"),
}  # fmt: skip

OPERATORS: Final[Mapping[str, str]] = {
    "not": "none of these",
    "above": "more than",
    "below": "less than",
    "coarser": "a coarser grade than",
    "finer": "a finer grade than",
    "has": "at least one of these among them",
    "lacks": "none of these among them",
    "known": "whether it is known at all",
}
GROUPS: Final = ("any", "all", "none")

NEEDS: Final = (
    "degreased", "keyed", "finer key", "cured", "waited", "tested", "test patch", "rust removed",
    "washed", "freshly keyed", "stripped", "isolated", "primed", "pre-treated", "barrier", "build",
    "lacquered", "whole panel", "warmed", "thinner film", "recoated", "covered", "dried",
)  # fmt: skip
"""What a rule may ask for, in the words the rules use."""


def grade_number(text: str) -> int:
    """The number of a P-grade: "P400" -> 400. Raises ValueError if it is none."""
    if not (text.startswith("P") and text[1:].isdigit()):
        raise ValueError(f"'{text}' is not a P-grade; write e.g. P400")
    return int(text[1:])


def fact_value(name: str, value: object) -> object:
    """A written value of that fact as rules compare it: SI float, grade number, word, truth."""
    fact = FACTS[name]
    if fact.sort == "truth":
        if not isinstance(value, bool):
            raise ValueError(f"{name} is {value!r}; it must be true or false")
        return value
    if fact.sort == "words":
        listed = value if isinstance(value, list | tuple | set | frozenset) else [value]
        return frozenset(_word(name, fact, item) for item in listed)
    if not isinstance(value, str):
        raise ValueError(f"{name} is {value!r}; it must be text in quotes")
    if fact.sort == "grade":
        return grade_number(value)
    if fact.sort == "word":
        return _word(name, fact, value)
    try:
        return units.parse(value, "length" if fact.sort == "film" else "time")
    except InputError as fault:
        raise ValueError(f"{fault.what}; {fault.instead}") from None


def _word(name: str, fact: Fact, value: object) -> str:
    if value not in fact.words:
        raise ValueError(f"{name} is {value!r}; it must be one of {', '.join(fact.words)}")
    return str(value)


def tests(when: Mapping[str, Any]) -> Iterator[tuple[str, str, object]]:
    """Every single test of a condition as (fact, operator, value in SI); operator "" is equality.

    A list means any of its values. Raises ValueError at the first that means nothing.
    """
    for name, wanted in when.items():
        if name in GROUPS:
            for inner in _tables(name, wanted):
                yield from tests(inner)
        elif name not in FACTS:
            raise ValueError(f"'{name}' is no fact; the facts are listed in docs/rules.md")
        else:
            yield from _tests_of(name, wanted)


def _tables(name: str, wanted: object) -> list[Mapping[str, Any]]:
    if not isinstance(wanted, list | tuple) or not all(isinstance(w, Mapping) for w in wanted):
        raise ValueError(f"'{name}' is not a list of conditions; write {name} = [{{ ... }}]")
    return list(wanted)


def _tests_of(name: str, wanted: object) -> Iterator[tuple[str, str, object]]:
    if not isinstance(wanted, Mapping):
        yield name, "", _one_or_more(name, wanted)
        return
    for operator, value in wanted.items():
        if operator not in OPERATORS:
            raise ValueError(
                f"'{operator}' is no comparison; it must be one of {', '.join(OPERATORS)}"
            )
        if operator == "known":
            yield name, operator, bool(value)
        else:
            yield name, operator, _one_or_more(name, value)


def _one_or_more(name: str, value: object) -> object:
    if FACTS[name].sort == "words":
        return fact_value(name, value)
    if isinstance(value, list | tuple):
        return frozenset(fact_value(name, item) for item in value)
    return fact_value(name, value)


def _condition(when: dict[str, object]) -> dict[str, object]:
    if not when:
        raise ValueError("the condition is empty; say when the rule speaks")
    for _ in tests(when):
        pass
    return when


def _example(facts: dict[str, object]) -> dict[str, object]:
    if not facts:
        raise ValueError("the example is empty; give the facts of one real case")
    for name, value in facts.items():
        if name not in FACTS:
            raise ValueError(f"'{name}' is no fact; the facts are listed in docs/rules.md")
        fact_value(name, value)
    return facts


def _needs(needs: tuple[str, ...]) -> tuple[str, ...]:
    strange = [need for need in needs if need not in NEEDS]
    if strange:
        raise ValueError(f"'{strange[0]}' is no need; it must be one of {', '.join(NEEDS)}")
    return needs


class Rule(Part):
    """One rule. `when` is a condition over FACTS; docs/rules.md says how it is written."""

    id: Key
    title: Prose
    when: Annotated[dict[str, object], AfterValidator(_condition)]
    unknown: Literal["fires", "quiet"] = Field(
        default="fires",
        description="what it does where a fact it asks for is not known; unknown is not trusted",
    )
    verdict: Verdict
    severity: Severity
    reason: Prose
    failure: Prose = Field(description="what happens to the paint if it is ignored")
    remedy: Prose = ""
    needs: Annotated[tuple[str, ...], AfterValidator(_needs)] = Field(
        default=(), description="for 'yes if': keyed, isolated, test patch ..."
    )
    experts_differ: bool = False
    source: str
    fires: Annotated[dict[str, object], AfterValidator(_example)] = Field(
        description="facts of an example that it catches"
    )
    quiet: Annotated[dict[str, object], AfterValidator(_example)] = Field(
        description="facts of an example that it lets through"
    )


class RuleFile(Part):
    """One file of rules."""

    rule: tuple[Rule, ...] = Field(min_length=1)
