"""Which solvents leave a product's film, and what they are."""

import tomllib
from collections.abc import Mapping
from dataclasses import dataclass
from functools import cache
from importlib.resources import files

from coatwright.engines import drying
from coatwright.errors import NotFound
from coatwright.model.conditions.solvent import BlendFile, SolventFile, SolventSheet
from coatwright.model.material import Material

CARBON, HYDROGEN, OXYGEN, RING = 15.9, 2.31, 6.11, -18.3
"""Fuller's increments of the diffusion volume; of water as a molecule 13.1."""

WATER_VOLUME = 13.1
WATER = "water"


@dataclass(frozen=True)
class Solvents:
    """Solvents by key, and the blends that stand for kinds of paint and thinners."""

    sheets: Mapping[str, SolventSheet]
    blends: BlendFile

    def blend(self, material: Material) -> tuple[tuple[SolventSheet, float], ...]:
        """Solvents of a product as it lands and their shares by volume, most volatile first.

        The sheet's own if it gives them, else typical of its kind. Raises NotFound if a solvent
        or a blend for that kind is not there.
        """
        shares = {one.solvent: one.share for one in material.solvents}
        if not shares:
            family = str(material.family)
            if family not in self.blends.families:
                raise NotFound(
                    f"no blend of solvents is known for '{family}'",
                    instead="list its solvents in the product sheet",
                )
            shares = dict(self.blends.families[family].shares)
        return self.named(shares)

    def named(self, shares: Mapping[str, float]) -> tuple[tuple[SolventSheet, float], ...]:
        """Solvent sheets of a blend, most volatile first; NotFound if one is not there."""
        for key in shares:
            if key not in self.sheets:
                raise NotFound(
                    f"there is no solvent '{key}'",
                    instead=f"there are {', '.join(sorted(self.sheets))}",
                )
        found = [(self.sheets[key], share) for key, share in shares.items()]
        return tuple(sorted(found, key=lambda one: -one[0].vapour_pressure.value))


@cache
def standard() -> Solvents:
    """The solvents and blends of this package."""
    place = files("coatwright") / "data"
    asked = {"written": True}
    sheets: dict[str, SolventSheet] = {}
    for item in sorted((place / "solvents").iterdir(), key=lambda one: one.name):
        if item.name.endswith(".toml"):
            data = tomllib.loads(item.read_text("utf-8"))
            file = SolventFile.model_validate(data, context=asked)
            sheets |= {one.key: one for one in file.solvent}
    text = (place / "blends.toml").read_text("utf-8")
    return Solvents(sheets, BlendFile.model_validate(tomllib.loads(text), context=asked))


def diffusion_volume(sheet: SolventSheet) -> float:
    """Fuller's diffusion volume of a molecule [-]."""
    if sheet.key == WATER:
        return WATER_VOLUME
    atoms = sheet.atoms
    volume = CARBON * atoms.get("C", 0) + HYDROGEN * atoms.get("H", 0)
    return volume + OXYGEN * atoms.get("O", 0) + RING * sheet.rings


def evaporating(sheet: SolventSheet) -> drying.Solvent:
    """A solvent sheet as the drying engine takes it."""
    known, boiling = sheet.vapour_pressure, sheet.boiling_point.value
    return drying.Solvent(
        molar_mass=sheet.molar_mass,
        density=sheet.density.value,
        boiling_point=boiling,
        pressure=drying.room_pressure(boiling, known.value, known.temperature),
        diffusion_volume=diffusion_volume(sheet),
    )
