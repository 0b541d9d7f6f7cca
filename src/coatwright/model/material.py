"""A product sheet: the technical data of one coating, as entered from its data sheet."""

from typing import Literal

from pydantic import Field, model_validator

from coatwright.model import money
from coatwright.model.money import Money, Price
from coatwright.model.quantity import (
    Concentration,
    Density,
    Film,
    Fraction,
    Key,
    Length,
    Part,
    Pressure,
    Share,
    Stress,
    Temperature,
    Time,
    Volume,
    all_different,
    ordered,
    refused,
)
from coatwright.model.substrate import Family, Grade, Ground

Role = Literal["base", "hardener", "thinner"]
Hazard = Literal[
    "isocyanate", "flammable", "acid", "dust", "peroxide", "solvent vapour", "sensitiser"
]
CupName = Literal[
    "ISO 3", "ISO 4", "ISO 5", "ISO 6", "DIN 4", "Ford 3", "Ford 4", "Zahn 1", "Zahn 2", "Zahn 3"
]
Past = Literal["abrade", "abrade and recoat", "strip", "no limit"]


class Span(Part):
    """A range of times from a sheet; max None means the sheet gives no upper limit."""

    min: Time
    max: Time | None = None

    @model_validator(mode="after")
    def _ordered(self) -> "Span":
        ordered(self, "min", "max")
        return self


class Pack(Part):
    """A size it is sold in and what it costs (amount of the job's currency)."""

    size: Volume
    price: Price

    @property
    def money(self) -> Money:
        """What one pack costs."""
        return money.parse(self.price)


class Component(Part):
    """One tin: its part in the mix by volume, and what is in it."""

    key: Key
    title: str
    role: Role
    parts: float = Field(ge=0, description="parts by volume; for the thinner see `thinning`")
    density: Density
    volume_solids: Fraction
    voc: Concentration = Field(description="volatile organic content of this component")
    water: Concentration = 0.0
    packs: tuple[Pack, ...] = ()
    shelf_life: Time | None = None
    opened_life: Time | None = None


class Thinning(Part):
    """Thinner by volume, as a share of base plus hardener."""

    min: Share
    max: Share
    usual: Share

    @model_validator(mode="after")
    def _ordered(self) -> "Thinning":
        ordered(self, "min", "usual")
        ordered(self, "usual", "max")
        return self


class Cup(Part):
    """A flow-cup viscosity: cup, seconds, and the paint's temperature."""

    cup: CupName
    seconds: Time
    temperature: Temperature = 293.15


class SprayViscosity(Part):
    """The spraying viscosity the sheet asks for: a range of cup seconds."""

    cup: CupName
    min: Time
    max: Time
    temperature: Temperature = 293.15

    @model_validator(mode="after")
    def _ordered(self) -> "SprayViscosity":
        ordered(self, "min", "max")
        return self


class FilmRange(Part):
    """Dry film of one coat, and how many coats."""

    min: Film
    max: Film
    coats_min: int = Field(default=1, ge=1, le=12)
    coats_max: int = Field(default=2, ge=1, le=12)
    total_min: Film
    total_max: Film
    see_through_first: bool = Field(
        default=False, description="the first coat may be a thin grip coat"
    )

    @model_validator(mode="after")
    def _reachable(self) -> "FilmRange":
        for low, high in (("min", "max"), ("total_min", "total_max"), ("coats_min", "coats_max")):
            ordered(self, low, high)
        if self.total_min > self.coats_max * self.max * (1 + 1e-9):
            raise refused(
                "total_min cannot be reached with coats_max coats of max film",
                "raise max or coats_max, or lower total_min",
                "total_min",
            )
        return self


class Recoat(Part):
    """When the next layer may go on, until when, and what to do past that."""

    min: Time
    max: Time | None = None
    past: Past = "abrade"
    lifting_from: Time | None = Field(default=None, description="start of a zone in which it lifts")
    lifting_to: Time | None = None

    @model_validator(mode="after")
    def _ordered(self) -> "Recoat":
        ordered(self, "min", "max")
        ordered(self, "lifting_from", "lifting_to")
        return self


class Bake(Part):
    """Metal temperature and time at it."""

    temperature: Temperature
    time: Time


class Limits(Part):
    """Application limits."""

    temperature_min: Temperature = 283.15
    temperature_max: Temperature = 308.15
    humidity_max: Fraction = 0.85

    @model_validator(mode="after")
    def _ordered(self) -> "Limits":
        ordered(self, "temperature_min", "temperature_max")
        return self


class Flow(Part):
    """How the wet film behaves on a wall; values assumed for the class until measured."""

    yield_stress: Stress = 0.0
    set_time: Time = Field(description="time in which its viscosity on the wall grows by e")
    in_flight_loss: Fraction = Field(
        default=0.2, description="share of the solvent that leaves between nozzle and panel"
    )


class Texture(Part):
    """What rubbing down has to deal with."""

    peak_to_valley: Film = Field(description="texture of a sprayed coat to be flattened")
    hardness: float = Field(
        default=1.0, gt=0, description="stock removal resistance; 1 = cured primer"
    )
    sandable: bool = True


class Gate(Part):
    """What the sheet itself says of surfaces: it overrides the general rules where it speaks."""

    grounds: tuple[Ground, ...] = ()
    over: tuple[Family, ...] = ()
    not_over: tuple[Family, ...] = ()


class Material(Part):
    """One product sheet."""

    key: Key
    title: str
    family: Family
    illustrative: bool = Field(
        description="true while the values are typical of the class, not of a tin"
    )
    source: str = Field(description="where the values came from")
    applied: Literal["gun", "wipe", "lance", "schutz gun", "brush"] = "gun"
    components: tuple[Component, ...] = Field(min_length=1)
    thinning: Thinning | None = None
    neat: Cup = Field(description="viscosity of base plus hardener, unthinned")
    spray: SprayViscosity
    pot_life: Time | None = None
    induction: Time = 0.0
    flash: Span
    recoat: Recoat
    dry_to_sand: Time | None = None
    through_dry: Time
    bake: Bake | None = None
    film: FilmRange
    nozzle_min: Length
    nozzle_max: Length
    pressure_min: Pressure
    pressure_max: Pressure
    limits: Limits = Limits()
    voc_eu: Literal["a", "b", "c", "c wash", "d", "e"] | None = None
    voc_us: (
        Literal[
            "wash primer", "primer", "sealer", "topcoat", "three-stage", "multicolour", "specialty"
        ]
        | None
    ) = None
    hazards: tuple[Hazard, ...]
    flow: Flow
    texture: Texture | None = None
    acid: bool = False
    porous: bool = False
    water_barrier: bool = False
    waterborne: bool = False
    strong_solvent: bool = True
    accepts: Gate = Gate()
    finest_key: Grade | None = Field(
        default=None, description="coarsest P-grade whose scratch it hides"
    )
    note: str = ""

    @model_validator(mode="after")
    def _whole(self) -> "Material":
        roles = [c.role for c in self.components]
        if roles.count("base") != 1:
            raise refused(
                f"{roles.count('base')} components have the role base",
                "exactly one must have it",
                "components",
            )
        if roles.count("thinner") > 1 or roles.count("hardener") > 1:
            raise refused(
                "there is more than one hardener or thinner",
                "a sheet holds at most one of each; make a second sheet for the other",
                "components",
            )
        if self.thinning is not None and "thinner" not in roles:
            raise refused(
                "thinning is given, but there is no thinner",
                "add a component with the role thinner",
                "thinning",
            )
        all_different("component", (c.key for c in self.components), "components")
        ordered(self, "nozzle_min", "nozzle_max")
        ordered(self, "pressure_min", "pressure_max")
        return self

    def component(self, role: Role) -> Component | None:
        """The component of that role, or None."""
        return next((c for c in self.components if c.role == role), None)
