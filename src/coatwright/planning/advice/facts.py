"""The facts that rules ask about, from a product, the spot it meets and the circumstances."""

from typing import Final, NamedTuple

from coatwright.model.material import Gate, Material
from coatwright.model.substrate import Family, Ground
from coatwright.planning.advice.context import Context
from coatwright.planning.advice.stack import (
    METALS,
    SOLUBLE,
    UNCOUNTED,
    Coating,
    Stack,
    Traits,
    families,
)

PRIMES: Final = frozenset({"pre-treatment", "etch", "primer", "build", "sealer"})
FILLS: Final = 15e-6
"""A coat of at least this dry film levels a scratch it hides; a thinner one follows it [m];
assumption."""


class Ahead(NamedTuple):
    """What follows the product, as far as that is settled; None is not known."""

    next: str | None = None
    last: bool | None = None


def facts_of(
    product: Traits,
    stack: Stack,
    context: Context,
    ahead: Ahead = Ahead(),  # noqa: B008
) -> dict[str, object]:
    """Every fact of model.rule.FACTS for this product going on this spot."""
    return {
        **_of_product(product, stack, ahead),
        **_of_surface(product, stack),
        **_of_stack(product, stack),
        **_of_context(product, context),
    }


def _of_product(product: Traits, stack: Stack, ahead: Ahead) -> dict[str, object]:
    gate = product.material.accepts if product.material else Gate()
    over = stack.top.family if stack.top else None
    return {
        "product": product.family,
        "kind": product.kind,
        "two_pack": product.two_pack,
        "strong_solvent": product.material is None or product.material.strong_solvent,
        "porous": product.porous,
        "sheet_ground": _sheet_ground(gate, stack.ground),
        "sheet_over": _sheet_over(gate, over),
        "last": ahead.last,
        "next": ahead.next,
        "product_film": _product_film(product, stack),
    }


def _sheet_ground(gate: Gate, ground: Ground) -> str:
    if not gate.grounds:
        return "silent"
    return "allows" if ground in gate.grounds else "forbids"


def _sheet_over(gate: Gate, family: Family | None) -> str:
    if family is None:
        return "silent"
    if family in gate.not_over:
        return "forbids"
    return "allows" if family in gate.over else "silent"


def laid_film(product: Traits) -> float | None:
    """The film the sheet means, middle of its total range [m]."""
    return None if product.film is None else (product.film[0] + product.film[1]) / 2


def _product_film(product: Traits, stack: Stack) -> float | None:
    """This product's film with the coats of it right under, that were not rubbed down since."""
    film = laid_film(product)
    if film is None or stack.grade is not None:
        return film
    for coating in reversed(stack.coatings):
        if coating.family != product.family:
            break
        if coating.film is None:
            return None
        film += coating.film
    return film


def _of_surface(product: Traits, stack: Stack) -> dict[str, object]:
    top = stack.top
    return {
        "ground": stack.ground,
        "metal": stack.ground in METALS,
        "bare": top is None,
        "under": stack.surface,
        "under_kind": top.traits.kind if top else "ground",
        "under_two_pack": top is not None and top.traits.two_pack,
        "same_family": top is not None and top.family == product.family,
        "old": top is not None and not top.planned,
        "age": top.age if top else 0.0,
        "window": window(top) if top else "no limit",
        "past": top.traits.past if top else "no limit",
        "cured": top.cured if top else True,
        "keyed": stack.grade is not None,
        "grade": stack.grade,
        "shows": _shows(product, stack),
        "rough": stack.rough,
        "degreased": stack.degreased,
        "rust": stack.rust,
        "acid": top is not None and top.traits.acid and not top.washed,
        "under_porous": top is not None and top.traits.porous,
        "outdoors": top is not None and top.outdoors,
        "bare_for": stack.bare_for,
    }


def window(top: Coating) -> str | None:
    """Where the layer stands in its recoat window; None if its age or sheet is not known."""
    kind, age = top.traits, top.age
    if kind.past == "no limit" and (age is None or age >= (kind.recoat_min or 0.0)):
        return "no limit"
    if age is None or kind.recoat_min is None:
        return None
    if kind.lifting and kind.lifting[0] < age < kind.lifting[1]:
        return "lifting"
    if age < kind.recoat_min:
        return "early"
    return "open" if kind.recoat_max is None or age <= kind.recoat_max else "past"


def _shows(product: Traits, stack: Stack) -> bool | None:
    if stack.scratch is None:
        return False
    return None if product.hides is None else stack.scratch < product.hides


def _of_stack(product: Traits, stack: Stack) -> dict[str, object]:
    coatings = stack.coatings
    old = stack.old
    exposed, isolation = _isolation(coatings)
    return {
        "from_ground": not old,
        "families": families(coatings),
        "sound": _all_sound(old),
        "exposed": exposed,
        "isolation": isolation,
        "tests": stack.tests,
        "film_known": all(c.film is not None for c in old if c.family not in UNCOUNTED),
        "total_film": _total(product, stack),
        "has_primer": bool(old) or any(c.traits.kind in PRIMES for c in coatings),
        "has_barrier": any(
            c.traits.kind in ("primer", "sealer") and c.traits.barrier for c in coatings
        ),
        "has_build": any(_levelled(c) for c in coatings),
    }


def _levelled(coating: Coating) -> bool:
    """A build primer, or an old finish, which stood on one."""
    if coating.family is Family.HIGH_BUILD:
        return True
    return not coating.planned and coating.traits.kind in ("colour", "basecoat", "lacquer")


def _all_sound(old: tuple[Coating, ...]) -> bool | None:
    states = [coating.sound for coating in old]
    if False in states:
        return False
    return None if None in states else True


def _isolation(coatings: tuple[Coating, ...]) -> tuple[str, str]:
    """Soluble or unknown paint that shows through to the surface, and what covers it."""
    covered = "missing"
    for coating in reversed(coatings):
        if coating.family in SOLUBLE:
            return (str(coating.family), covered) if covered != "cured" else ("none", "cured")
        if coating.traits.barrier and coating.traits.two_pack:
            covered = "cured" if coating.cured or covered == "cured" else "uncured"
    return "none", "not needed"


def _total(product: Traits, stack: Stack) -> float | None:
    under, added = stack.film(), laid_film(product)
    if product.family in UNCOUNTED:
        return under
    return None if under is None or added is None else under + added


def _of_context(product: Traits, context: Context) -> dict[str, object]:
    limits = product.material.limits if product.material else None
    coldest, hottest = min(context.air, context.metal), max(context.air, context.metal)
    return {
        "metal_waits": context.metal_waits,
        "zone": context.zone,
        "access": context.access,
        "orientation": context.orientation,
        "finish": context.finish,
        "spot_repair": context.spot_repair,
        "stands_outdoors": context.stands_outdoors,
        "break_through": context.break_through,
        "cold": None if limits is None else coldest < limits.temperature_min,
        "hot": None if limits is None else hottest > limits.temperature_max,
        "humid": None if limits is None else context.humidity > limits.humidity_max,
    }


def sheet_of(product: Traits) -> Material:
    """The product sheet behind the traits; only products with a sheet are ever laid."""
    assert product.material is not None
    return product.material
