"""Spots for tests of the advice: patches, layers and sheets as a shop would have them."""

from dataclasses import replace
from functools import cache
from typing import NamedTuple

from coatwright.intake.rules import load_rules, load_work
from coatwright.intake.sheets import Library, load_sheets
from coatwright.model.material import Material
from coatwright.model.substrate import Family, Layer, Patch
from coatwright.planning.advice.acts import lay
from coatwright.planning.advice.context import Context
from coatwright.planning.advice.facts import Ahead
from coatwright.planning.advice.routes import Adviser
from coatwright.planning.advice.rulebook import Judgement, Rulebook
from coatwright.planning.advice.stack import Stack, Traits, family_traits

HOUR, DAY, YEAR = 3600.0, 86400.0, 3.156e7
UM = 1e-6


@cache
def library() -> Library:
    return load_sheets()


@cache
def adviser() -> Adviser:
    return Adviser(Rulebook(load_rules()), library(), load_work())


def old(family: str, **more: object) -> Layer:
    """A layer recorded as 40 um, 30 years old, cured and sound, unless told otherwise."""
    usual = {"film": 40 * UM, "age": 30 * YEAR, "cured": True, "sound": True}
    return Layer(**{"family": family, **usual, **more})  # type: ignore[arg-type]


def unknown(**more: object) -> Layer:
    """Paint of which nothing is known."""
    return Layer(family=Family.UNKNOWN, **more)  # type: ignore[arg-type]


class Spot(NamedTuple):
    """A product and the spot it is to go on.

    layers are old; laid are keys of sheets sprayed in this plan, over them; patch and context hold
    fields of Patch and Context; age and top change the uppermost coating, surface the stack.
    """

    product: str
    ground: str = "bare steel"
    layers: tuple[Layer, ...] = ()
    laid: tuple[str, ...] = ()
    patch: dict[str, object] = {}  # noqa: RUF012
    context: dict[str, object] = {}  # noqa: RUF012
    ahead: Ahead = Ahead()
    top: dict[str, object] = {}  # noqa: RUF012
    surface: dict[str, object] = {}  # noqa: RUF012
    sheet: dict[str, object] = {}  # noqa: RUF012

    def stack(self) -> Stack:
        """The spot as the rules see it, by way of Patch, Layer and the sheets."""
        usual: dict[str, object] = {"prepared": "P120", "degreased": True}
        patch = Patch(key="spot", ground=self.ground, layers=self.layers, **(usual | self.patch))
        stack = adviser().stack(patch, self.where())
        for key in self.laid:
            stack = lay(self._traits(key), stack, self.where()).stack
        if self.top:
            stack = stack.with_top(**self.top)
        return replace(stack, **self.surface) if self.surface else stack  # type: ignore[arg-type]

    def where(self) -> Context:
        """The circumstances; metal does not wait unless told."""
        return Context(**({"metal_waits": False} | self.context))  # type: ignore[arg-type]

    def judged(self) -> Judgement:
        """What the rules say of the product on the spot."""
        return adviser().rulebook.judge_traits(
            self._product(), self.stack(), self.where(), self.ahead
        )

    def fired(self) -> set[str]:
        """The ids of the rules that spoke."""
        return {finding.rule for finding in self.judged().findings}

    def _product(self) -> Traits:
        if self.product not in library():  # of some families there is no sheet
            return family_traits(Family(self.product))
        if not self.sheet:
            return self._traits(self.product)
        return adviser()._catalogue.of(changed(self.product, **self.sheet))

    @staticmethod
    def _traits(key: str) -> Traits:
        return adviser()._catalogue.of(library()[key])


def changed(product: str, /, **fields: object) -> Material:
    """A shipped sheet with some of its fields changed."""
    return Material.model_validate(library()[product].model_dump() | fields)
