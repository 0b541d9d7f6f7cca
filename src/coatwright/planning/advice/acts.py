"""What a need of the rules means in work: the acts that meet it, and the surface they leave."""

from collections.abc import Callable
from dataclasses import dataclass, replace
from typing import Final

from coatwright.model.material import Material
from coatwright.model.rule import grade_number
from coatwright.model.work import Work
from coatwright.planning.advice.context import Context
from coatwright.planning.advice.facts import FILLS, laid_film, sheet_of
from coatwright.planning.advice.stack import METALS, Coating, Stack, Traits
from coatwright.planning.strokes import rubbing
from coatwright.sentences import Said, joined, say

OLD_CURE: Final = 7 * 86400.0
"""A layer without a sheet counts as through-dry after this long [s]; assumption."""
STANDING: Final = 86400.0
"""A coat that has stood this long is wiped again before the next [s]; common practice."""
_TESTS: Final = frozenset({"solvent rub", "film gauge", "cross-hatch"})


@dataclass(frozen=True, slots=True)
class Item:
    """One thing to be paid for: an act of preparation, or `coat` for a layer.

    film [m] and coats belong to a layer; wait [s] is the time that passes before the next thing
    because of this one; risk says that what it tests may fail.
    """

    act: str
    text: str = ""
    grade: str = ""
    product: Traits | None = None
    film: float = 0.0
    coats: int = 0
    wait: float = 0.0
    risk: bool = False

    @property
    def material(self) -> Material | None:
        """The sheet of a layer's product; None for an act."""
        return self.product.material if self.product else None


@dataclass(frozen=True, slots=True)
class Prepared:
    """A surface made ready, and the work that made it so."""

    stack: Stack
    items: tuple[Item, ...] = ()

    def then(self, stack: Stack, *items: Item) -> "Prepared":
        """The same with one step more."""
        return Prepared(stack, (*self.items, *items))


@dataclass(frozen=True, slots=True)
class Want:
    """What the preparation is for."""

    product: Traits
    needs: frozenset[str]
    work: Work


def prepare(stack: Stack, want: Want) -> Prepared | None:
    """The least work that meets every need; None if no work on this surface can."""
    if not want.needs <= ACTIONABLE:
        return None
    state = Prepared(stack)
    for needs, act in _ORDER:
        if not want.needs.isdisjoint(needs):
            done = act(state, want)
            if done is None:
                return None
            state = done
    if not state.stack.degreased and state.stack is not stack:
        state = _degrease(state, want)
    return state


def _derust(state: Prepared, want: Want) -> Prepared:
    clean = replace(state.stack, rust=False, degreased=False)
    return state.then(clean, _item("remove rust", want.work))


def _wash(state: Prepared, want: Want) -> Prepared:
    return state.then(state.stack.with_top(washed=True), _item("wash", want.work))


def _test(state: Prepared, want: Want) -> Prepared:
    """Tests as passed: sound, and films taken as usual until they are gauged."""
    film = want.work.unknown_film
    coatings = tuple(
        c if c.planned else replace(c, sound=c.sound is not False, film=_film(c, film))
        for c in state.stack.coatings
    )
    tested = replace(
        state.stack, coatings=coatings, tests=state.stack.tests | _TESTS, degreased=False
    )
    return state.then(tested, replace(_item("test", want.work), risk=True))


def _film(coating: Coating, assumed: float) -> float:
    return assumed if coating.film is None else coating.film


def _test_patch(state: Prepared, want: Want) -> Prepared:
    tested = replace(state.stack, tests=state.stack.tests | {"test patch"})
    item = _item("test patch", want.work, layer=want.product.title)
    return state.then(tested, replace(item, risk="test" not in {i.act for i in state.items}))


def _wait_for_window(state: Prepared, want: Want) -> Prepared:
    top = state.stack.top
    if top is None:
        return state
    age, kind = top.age or 0.0, top.traits
    until = kind.recoat_min if kind.recoat_min is not None else want.work.acts["wait"].wait
    if kind.lifting and age > kind.lifting[0]:
        until = kind.lifting[1]
    return _aged(state, want, max(until, age), say("out of its waiting time"))


def _wait_for_cure(state: Prepared, want: Want) -> Prepared:
    top = state.stack.top
    if top is None:
        return state
    until = top.traits.through_dry if top.traits.through_dry is not None else OLD_CURE
    return _aged(state, want, max(until, top.age or 0.0), say("through-dry"))


def _aged(state: Prepared, want: Want, age: float, word: str) -> Prepared:
    """Time passes until the top coat has that age [s]."""
    top = state.stack.coatings[-1]
    dry = top.traits.through_dry if top.traits.through_dry is not None else OLD_CURE
    older = state.stack.with_top(age=age, cured=top.cured or age >= dry)
    waited = age - (top.age or 0.0)
    if waited <= 0.0:
        return state.then(older)
    item = _item("wait", want.work, layer=top.title, state=word)
    return state.then(older, replace(item, wait=waited))


def _abrade(state: Prepared, want: Want) -> Prepared | None:
    top = state.stack.top
    if top is None:
        return _abrade_ground(state, want)
    if top.planned:
        if top.traits.sandable_from is None:
            return None
        state = _aged(
            state, want, max(top.age or 0.0, top.traits.sandable_from), say("dry to rub down")
        )
    grade = _grade(want)
    act = "abrade old" if not top.planned else "block" if state.stack.rough else "abrade new"
    film = state.stack.coatings[-1].film
    left = None if film is None else max(film - _takes(top, want.work), 0.0)
    number = grade_number(grade)
    rubbed = replace(
        state.stack.with_top(film=left),
        grade=number,
        scratch=number,
        rough=False,
        degreased=False,
    )
    return state.then(rubbed, _item(act, want.work, grade, top.title))


def _abrade_ground(state: Prepared, want: Want) -> Prepared:
    grade = want.work.ground_grades[state.stack.ground]
    number = grade_number(grade)
    rubbed = replace(state.stack, grade=number, scratch=number, degreased=False, bare_for=0.0)
    return state.then(rubbed, _item("abrade bare", want.work, grade))


def _grade(want: Want) -> str:
    usual = want.work.key_grades.get(want.product.kind)
    hides = want.product.hides or 0
    if usual is None or grade_number(usual) < hides:
        return f"P{hides}" if hides else "P240"
    return usual


def _takes(top: Coating, work: Work) -> float:
    """What rubbing the top coat down takes off [m]."""
    if not top.planned:
        return work.old_key_takes
    if top.traits.kind == "build" and top.traits.material is not None:
        return sum(step.takes for step in rubbing.steps(top.traits.material))
    return work.key_takes


def _degrease(state: Prepared, want: Want) -> Prepared:
    return state.then(replace(state.stack, degreased=True), _item("degrease", want.work))


def _item(act: str, work: Work, grade: str = "", layer: str = "", state: str = "") -> Item:
    known = work.acts[act]  # type: ignore[index]
    text = Said(known.text, {"grade": grade, "layer": layer, "state": state})
    return Item(act, text, grade, wait=known.wait)


_Act = Callable[..., Prepared | None]
_ORDER: Final[tuple[tuple[frozenset[str], _Act], ...]] = (
    (frozenset({"rust removed"}), _derust),
    (frozenset({"washed"}), _wash),
    (frozenset({"tested"}), _test),
    (frozenset({"test patch"}), _test_patch),
    (frozenset({"waited"}), _wait_for_window),
    (frozenset({"cured"}), _wait_for_cure),
    (frozenset({"keyed", "finer key", "freshly keyed"}), _abrade),
    (frozenset({"degreased"}), _degrease),
)
ACTIONABLE: Final[frozenset[str]] = frozenset().union(*(needs for needs, _ in _ORDER))
"""Needs that work on the surface as it is can meet; all others want another layer, or stripping."""


def strip(stack: Stack, work: Work) -> Prepared:
    """The bare ground, all coatings off."""
    film = stack.film()
    act = "strip thin" if film is not None and film <= work.thin else "strip"
    names = joined(" + ", dict.fromkeys(c.title for c in stack.coatings))
    bare = Stack(ground=stack.ground, rust=stack.rust)
    return Prepared(bare, (_item(act, work, layer=names),))


def lay(product: Traits, stack: Stack, context: Context) -> Prepared:
    """The spot with one layer more, at the earliest time the next may go on."""
    film = laid_film(product) or 0.0
    age = product.recoat_min or 0.0
    if context.metal_waits and _first_primer(product, stack):
        age = max(age, context.wait)
    dry = product.through_dry if product.through_dry is not None else OLD_CURE
    coating = Coating(product, film, age, cured=age >= dry)
    fills = (
        stack.scratch is not None
        and film >= FILLS
        and product.hides is not None
        and stack.scratch >= product.hides
    )
    laid = replace(
        stack,
        coatings=(*stack.coatings, coating),
        grade=None,
        scratch=None if fills else stack.scratch,
        rough=product.kind == "build" or (stack.rough and product.kind != "protection"),
        degreased=age < STANDING,
    )
    material = sheet_of(product)
    coats = -(-film // ((material.film.min + material.film.max) / 2))
    item = Item("coat", product=product, film=film, coats=max(int(coats), 1), wait=age)
    return Prepared(laid, (item,))


def _first_primer(product: Traits, stack: Stack) -> bool:
    """Whether the product is the first primer on metal, the one that has to wait."""
    primed = any(c.traits.kind in _PRIMERS or not c.planned for c in stack.coatings)
    return stack.ground in METALS and product.kind in _PRIMERS and not primed


_PRIMERS: Final = frozenset({"etch", "primer"})
