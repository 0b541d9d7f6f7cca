"""Rubbing down a layer: what each grade takes, what is left, and the chance of breaking through."""

from collections.abc import Sequence
from dataclasses import dataclass

from coatwright.engines import abrasion
from coatwright.figures import Figure
from coatwright.model.material import Material
from coatwright.model.substrate import Family
from coatwright.planning.plan import Rub
from coatwright.sentences import say

GRADES: dict[Family, tuple[str, ...]] = {
    Family.HIGH_BUILD: ("P320", "P500"),
    Family.SPRAY_POLYESTER: ("P120", "P180"),
    Family.SEALER: ("P800",),
}
"""Grades a layer is rubbed with before the next goes on (common practice, no source)."""

UNEVEN = 0.15
"""Spread of film taken before the recipe is known, as a share: a practised hand (assumption)."""

TAKE_SPREAD = 0.3
"""Relative standard deviation of what rubbing takes off (assumption)."""


@dataclass(frozen=True, slots=True)
class Step:
    """One grade: what it takes off [m] and why."""

    grade: str
    takes: float
    reason: str


def steps(
    material: Material, film_spread: float | None = None, grades: Sequence[str] | None = None
) -> tuple[Step, ...]:
    """What each grade takes off a sprayed layer; () if the layer is not rubbed down.

    The first grade flattens the sprayed texture and levels the coats, which are uneven by
    film_spread [m] (by default UNEVEN of the sheet's least film); each next one takes out the
    scratch of the one before. grades defaults to those common for the family.
    """
    uneven = UNEVEN * material.film.total_min if film_spread is None else film_spread
    texture = material.texture
    ladder = tuple(grades) if grades is not None else GRADES.get(material.family, ())
    if texture is None or not texture.sandable:
        return ()
    found, before = [], None
    for grade in ladder:
        rough = abrasion.relief(texture.peak_to_valley, uneven) if before is None else 0.0
        takes = abrasion.take_off(rough, before, grade, texture.hardness)
        why = (
            say("flattens the texture and levels the coats")
            if before is None
            else say("takes out the {before} scratch", before=before)
        )
        found.append(Step(grade, takes, why))
        before = grade
    return tuple(found)


def reserve(material: Material) -> float:
    """Film [m] a layer needs so that its thinnest coat is still there after rubbing down; 0 if not
    rubbed."""
    taken = sum(step.takes for step in steps(material))
    return taken + material.film.min if taken else 0.0


def rubs(material: Material, film: float, film_spread: float) -> tuple[Rub, ...]:
    """The rubbing of a layer of that mean film and standard deviation [m], grade by grade."""
    found, left, taken = [], film, 0.0
    for step in steps(material, film_spread):
        left, taken = left - step.takes, taken + step.takes
        chance = abrasion.break_through(film, film_spread, taken, TAKE_SPREAD * taken)
        takes = Figure(
            step.takes,
            "film",
            "formula",
            "belt-roughness",
            "texture, or the last scratch, x overcut",
            {
                "texture": (material.texture and f"{material.texture.peak_to_valley * 1e6:.0f} um")
                or ""
            },
            (step.takes * (1 - 1.28 * TAKE_SPREAD), step.takes * (1 + 1.28 * TAKE_SPREAD)),
        )
        found.append(
            Rub(
                key=step.grade.lower(),
                grade=step.grade,
                takes=takes,
                left=Figure(
                    left,
                    "film",
                    "formula",
                    "rubbing-reserve",
                    "film laid - all taken so far",
                    {"taken by this grade": takes},
                ),
                break_through=Figure(
                    chance,
                    "fraction",
                    "formula",
                    "rubbing-reserve",
                    "chance that what is taken exceeds the film, both spread",
                ),
                reason=step.reason,
            )
        )
    return tuple(found)
