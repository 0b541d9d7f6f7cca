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
    Prose,
    Share,
    SomeFraction,
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
VocUs = Literal[
    "wash primer", "primer", "sealer", "topcoat", "three-stage", "multicolour", "specialty"
]
Past = Literal["abrade", "abrade and recoat", "strip", "no limit"]


class Span(Part):
    """A range of times from a sheet; max None means the sheet gives no upper limit."""

    min: Time = Field(description="shortest", examples=["5 min"])
    max: Time | None = Field(
        default=None, description="longest; left out = no upper limit", examples=["15 min"]
    )

    @model_validator(mode="after")
    def _ordered(self) -> "Span":
        ordered(self, "min", "max")
        return self


class Pack(Part):
    """A size it is sold in and what it costs (amount of the job's currency)."""

    size: Volume = Field(description="what is in it", examples=["1 L"])
    price: Price

    @property
    def money(self) -> Money:
        """What one pack costs."""
        return money.parse(self.price)


class Component(Part):
    """One tin: its part in the mix by volume, and what is in it."""

    key: Key = Field(description="name of this component in its sheet", examples=["hardener"])
    title: Prose = Field(
        description="what the tin says, in general words", examples=["hardener, standard"]
    )
    role: Role = Field(description="its part in the mix")
    parts: float = Field(ge=0, description="parts by volume; for the thinner see `thinning`")
    density: Density = Field(description="of the component as it comes", examples=["1.35 kg/L"])
    volume_solids: Fraction = Field(
        description="share of its volume that stays in the film", examples=["45 %"]
    )
    voc: Concentration = Field(description="volatile organic content of this component")
    water: Concentration = Field(default=0.0, description="water in it", examples=["0 g/L"])
    packs: tuple[Pack, ...] = Field(default=(), description="sizes it is sold in")
    shelf_life: Time | None = Field(default=None, description="unopened", examples=["24 months"])
    opened_life: Time | None = Field(default=None, description="once opened", examples=["6 months"])


class Thinning(Part):
    """Thinner by volume, as a share of base plus hardener."""

    min: Share = Field(description="least", examples=["0 %"])
    max: Share = Field(description="most", examples=["10 %"])
    usual: Share = Field(description="what is usual at 20 degC", examples=["5 %"])

    @model_validator(mode="after")
    def _ordered(self) -> "Thinning":
        ordered(self, "min", "usual")
        ordered(self, "usual", "max")
        return self


class Cup(Part):
    """A flow-cup viscosity: cup, seconds, and the paint's temperature."""

    cup: CupName = Field(description="which flow cup")
    seconds: Time = Field(description="time it takes to run out", examples=["60 s"])
    temperature: Temperature = Field(
        default=293.15, description="of the paint in the cup", examples=["20 degC"]
    )


class SprayViscosity(Part):
    """The spraying viscosity the sheet asks for: a range of cup seconds."""

    cup: CupName = Field(description="which flow cup")
    min: Time = Field(description="shortest time to run out", examples=["16 s"])
    max: Time = Field(description="longest time to run out", examples=["20 s"])
    temperature: Temperature = Field(
        default=293.15, description="of the paint in the cup", examples=["20 degC"]
    )

    @model_validator(mode="after")
    def _ordered(self) -> "SprayViscosity":
        ordered(self, "min", "max")
        return self


class FilmRange(Part):
    """Dry film of one coat, and how many coats."""

    min: Film = Field(description="thinnest dry film of one full coat", examples=["25 um"])
    max: Film = Field(description="thickest dry film of one coat", examples=["40 um"])
    coats_min: int = Field(default=1, ge=1, le=12, description="fewest coats")
    coats_max: int = Field(default=2, ge=1, le=12, description="most coats")
    total_min: Film = Field(description="thinnest dry film of all coats", examples=["50 um"])
    total_max: Film = Field(description="thickest dry film of all coats", examples=["80 um"])
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

    min: Time = Field(description="earliest", examples=["30 min"])
    max: Time | None = Field(
        default=None, description="latest; left out = the sheet gives no limit", examples=["72 h"]
    )
    past: Past = Field(default="abrade", description="what to do past it")
    lifting_from: Time | None = Field(default=None, description="start of a zone in which it lifts")
    lifting_to: Time | None = Field(default=None, description="end of that zone", examples=["5 d"])

    @model_validator(mode="after")
    def _ordered(self) -> "Recoat":
        ordered(self, "min", "max")
        ordered(self, "lifting_from", "lifting_to")
        return self


class Bake(Part):
    """Metal temperature and time at it."""

    temperature: Temperature = Field(description="of the metal", examples=["60 degC"])
    time: Time = Field(description="at that temperature", examples=["30 min"])


class Limits(Part):
    """Application limits."""

    temperature_min: Temperature = Field(
        default=283.15, description="coldest for air and metal", examples=["10 degC"]
    )
    temperature_max: Temperature = Field(
        default=308.15, description="warmest for air and metal", examples=["35 degC"]
    )
    humidity_max: Fraction = Field(
        default=0.85, description="highest relative humidity", examples=["85 %"]
    )

    @model_validator(mode="after")
    def _ordered(self) -> "Limits":
        ordered(self, "temperature_min", "temperature_max")
        return self


class Flow(Part):
    """How the wet film behaves on a wall; values assumed for the class until measured."""

    yield_stress: Stress = Field(
        default=0.0,
        description="stress below which the wet film does not move",
        examples=["0.5 Pa"],
    )
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
    sandable: bool = Field(default=True, description="false if it cannot be rubbed down")


class Gate(Part):
    """What the sheet itself says of surfaces: it overrides the general rules where it speaks."""

    grounds: tuple[Ground, ...] = Field(default=(), description="surfaces the sheet allows it on")
    over: tuple[Family, ...] = Field(
        default=(), description="kinds of coating the sheet allows it over"
    )
    not_over: tuple[Family, ...] = Field(
        default=(), description="kinds of coating the sheet forbids it over"
    )


class SolventShare(Part):
    """One solvent of what leaves the film, and its share of that by volume."""

    solvent: Key = Field(
        description="key of a solvent in data/solvents", examples=["n-butyl-acetate"]
    )
    share: SomeFraction = Field(
        description="share of the solvents by volume, as they land", examples=["40 %"]
    )


class Material(Part):
    """One product sheet."""

    key: Key = Field(
        description="name by which jobs refer to it; the same as its file's",
        examples=["high-build"],
    )
    title: Prose = Field(
        description="what it is, in general words", examples=["two-pack high-build primer 4:1"]
    )
    family: Family = Field(description="kind of coating")
    illustrative: bool = Field(
        description="true while the values are typical of the class, not of a tin"
    )
    source: str = Field(description="where the values came from")
    applied: Literal["gun", "wipe", "lance", "schutz gun", "brush"] = Field(
        default="gun", description="how it is put on"
    )
    components: tuple[Component, ...] = Field(
        min_length=1, description="one table for each tin of the mix"
    )
    thinning: Thinning | None = Field(
        default=None, description="thinner by volume, as a share of base plus hardener"
    )
    neat: Cup = Field(description="viscosity of base plus hardener, unthinned")
    spray: SprayViscosity = Field(description="spraying viscosity the sheet asks for")
    pot_life: Time | None = Field(
        default=None,
        description="of the mix at 20 degC; left out = it does not set in the pot",
        examples=["45 min"],
    )
    induction: Time = Field(
        default=0.0, description="wait between mixing and spraying", examples=["20 min"]
    )
    flash: Span = Field(description="between coats")
    recoat: Recoat = Field(description="before the next layer")
    dry_to_sand: Time | None = Field(
        default=None, description="before it may be rubbed down, at 20 degC", examples=["3 h"]
    )
    through_dry: Time = Field(description="before it bears handling, at 20 degC", examples=["16 h"])
    bake: Bake | None = Field(default=None, description="instead of air drying")
    film: FilmRange = Field(description="dry film of a coat and of all coats")
    nozzle_min: Length = Field(description="smallest nozzle", examples=["1.6 mm"])
    nozzle_max: Length = Field(description="largest nozzle", examples=["2.2 mm"])
    pressure_min: Pressure
    pressure_max: Pressure
    limits: Limits = Field(default=Limits(), description="limits of application")
    voc_eu: Literal["a", "b", "c", "c wash", "d", "e"] | None = Field(
        default=None, description="category of Directive 2004/42/CE, Annex II B"
    )
    voc_us: VocUs | None = Field(default=None, description="category of 40 CFR 59 subpart B")
    hazards: tuple[Hazard, ...] = Field(
        description="hazards of its class; the product's own sheet decides"
    )
    flow: Flow = Field(description="how the wet film behaves on a wall")
    texture: Texture | None = Field(default=None, description="left out = never rubbed down")
    acid: bool = Field(default=False, description="true if it leaves acid behind")
    porous: bool = Field(default=False, description="true if the dry film lets water through")
    water_barrier: bool = Field(default=False, description="true if the dry film keeps water out")
    waterborne: bool = Field(default=False, description="true if its thinner is water")
    strong_solvent: bool = Field(
        default=True, description="true if its solvent can lift what is under it"
    )
    accepts: Gate = Field(default=Gate(), description="what the sheet itself allows and forbids")
    finest_key: Grade | None = Field(
        default=None, description="coarsest P-grade whose scratch it hides"
    )
    solvents: tuple[SolventShare, ...] = Field(
        default=(),
        description="what leaves the film; shares sum to 100 %; left out = typical of its kind",
    )
    note: Prose = Field(default="", description="anything worth remembering")

    @model_validator(mode="after")
    def _blend(self) -> "Material":
        all_different("solvent", (one.solvent for one in self.solvents), "solvents", "solvent")
        total = sum(one.share for one in self.solvents)
        if self.solvents and abs(total - 1.0) > 1e-6:
            raise refused(
                f"the shares of the solvents sum to {total * 100:.6g} %",
                "they must sum to 100 %",
                "solvents",
            )
        return self

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
