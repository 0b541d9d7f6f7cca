"""A solvent: what decides how fast it goes, how it burns, and how much of it one may breathe."""

import re
from typing import Generic, Literal, TypeVar

from pydantic import Field, model_validator

from coatwright.model.quantity import (
    Density,
    Fraction,
    Key,
    Part,
    Pressure,
    Prose,
    SomeFraction,
    Temperature,
    all_different,
    refused,
)

Value = TypeVar("Value")

ATOMS = {"C": 12.011, "H": 1.008, "O": 15.999}
"""Standard atomic weights [g/mol] (IUPAC, abridged)."""


class Known(Part, Generic[Value]):
    """A value and where it was read."""

    value: Value
    source: str = Field(description="key in data/sources")


class Pressed(Part):
    """A saturated vapour pressure, at a temperature, and where it was read."""

    value: Pressure
    temperature: Temperature = Field(default=293.15, description="it holds at")
    source: str = Field(description="key in data/sources")


class Breathed(Part):
    """A limit to what one may breathe."""

    region: Literal["UK", "EU", "US"] = Field(description="whose limit")
    over: Literal["8 h", "15 min"] = Field(description="averaged over")
    value: Fraction = Field(description="share of the air by volume", examples=["150 ppm"])
    source: str = Field(description="key in data/sources")


class SolventSheet(Part):
    """One solvent, or a cut of petroleum by what stands for it."""

    key: Key = Field(description="name by which blends refer to it", examples=["n-butyl-acetate"])
    title: Prose = Field(description="what it is called")
    cas: str = Field(description="CAS number", pattern=r"^\d{2,7}-\d{2}-\d$")
    formula: str = Field(
        description="atoms of one molecule; of a cut, of what stands for it",
        pattern=r"^(?:[CHO]\d*)+$",
    )
    rings: int = Field(default=0, ge=0, le=3, description="aromatic or other rings in it")
    density: Known[Density]
    boiling_point: Known[Temperature]
    vapour_pressure: Pressed = Field(description="of the pure liquid")
    lower_limit: Known[SomeFraction] | None = Field(
        default=None, description="least share in air that burns"
    )
    upper_limit: Known[SomeFraction] | None = Field(
        default=None, description="greatest share in air that burns"
    )
    flash_point: Known[Temperature] | None = Field(default=None, description="closed cup")
    evaporation_rate: Known[float] | None = Field(
        default=None, description="relative to n-butyl acetate"
    )
    breathed: tuple[Breathed, ...] = Field(default=(), description="exposure limits")
    note: str = Field(default="", description="anything worth remembering")

    @property
    def atoms(self) -> dict[str, int]:
        """How many of each atom."""
        found: dict[str, int] = {}
        for symbol, count in re.findall(r"([CHO])(\d*)", self.formula):
            found[symbol] = found.get(symbol, 0) + int(count or 1)
        return found

    @property
    def molar_mass(self) -> float:
        """Mass of a mole [kg/mol]."""
        return sum(ATOMS[symbol] * count for symbol, count in self.atoms.items()) / 1000.0


class SolventFile(Part):
    """One file of data/solvents."""

    solvent: tuple[SolventSheet, ...] = Field(min_length=1)

    @model_validator(mode="after")
    def _whole(self) -> "SolventFile":
        all_different("solvent", (one.key for one in self.solvent), "solvent")
        return self


class Blend(Part):
    """What stands for the solvents of a kind of paint, by volume."""

    source: str = Field(description="where the blend came from")
    shares: dict[Key, SomeFraction] = Field(min_length=1, description="by volume, sum 100 %")

    @model_validator(mode="after")
    def _whole(self) -> "Blend":
        total = sum(self.shares.values())
        if abs(total - 1.0) > 1e-6:
            raise refused(
                f"the shares of the blend sum to {total * 100:.6g} %",
                "they must sum to 100 %",
                "shares",
            )
        return self


class BlendFile(Part):
    """data/blends.toml: a blend for each kind of coating, and for thinners by speed."""

    families: dict[str, Blend]
    thinners: dict[str, Blend]
