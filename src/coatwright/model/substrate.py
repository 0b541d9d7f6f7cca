"""What the paint meets: the metal or plastic, and the layers already on it."""

from enum import StrEnum
from typing import Literal

from pydantic import Field

from coatwright.model.quantity import Film, Key, Part, SomeFraction, Time


class Ground(StrEnum):
    """The material a patch is made of at its surface, or under its old layers."""

    STEEL = "bare steel"
    GALVANISED = "galvanised steel"
    ALUMINIUM = "aluminium"
    GRP = "GRP"
    PLASTIC = "plastic"
    FILLER = "polyester filler"


class Family(StrEnum):
    """Kinds of coating the rules can tell apart; `unknown` is a first-class one."""

    ETCH = "etch primer"
    EPOXY = "epoxy primer"
    HIGH_BUILD = "two-pack high-build primer"
    SPRAY_POLYESTER = "sprayable polyester"
    SEALER = "sealer"
    SOLID_2K = "two-pack solid colour"
    BASE_SOLVENT = "solvent basecoat"
    BASE_WATER = "waterborne basecoat"
    LACQUER_2K = "two-pack lacquer"
    CELLULOSE = "cellulose"
    SYNTHETIC = "synthetic enamel"
    ACRYLIC_1K = "thermoplastic acrylic"
    STONE_CHIP = "stone-chip"
    CAVITY_WAX = "cavity wax"
    PLASTIC_PROMOTER = "plastic adhesion promoter"
    METAL_PRETREATMENT = "metal pre-treatment"
    GRP_PRETREATMENT = "GRP pre-treatment"
    FILLER = "polyester filler"
    SEAM_SEALER = "seam sealer"
    RUST_CONVERTER = "rust converter"
    UNDERSEAL = "bitumen underseal"
    UNKNOWN = "unknown paint"


# fmt: off
Grade = Literal[
    "P12", "P16", "P20", "P24", "P30", "P36", "P40", "P50", "P60", "P80", "P100", "P120", "P150",
    "P180", "P220", "P240", "P280", "P320", "P360", "P400", "P500", "P600", "P800", "P1000",
    "P1200", "P1500", "P2000", "P2500", "P3000", "P5000",
]
# fmt: on
"""P-grades of abrasives: ISO 6344 up to P2500; the finer two are polishing grades of the trade."""


class Layer(Part):
    """One layer already on the vehicle, as recorded or as found. What is left out is not known."""

    family: Family = Field(description="kind of coating; unknown paint is never trusted")
    film: Film | None = Field(default=None, description="dry film, if measured", examples=["60 um"])
    age: Time | None = Field(default=None, description="since it was laid", examples=["10 d"])
    cured: bool | None = Field(default=None, description="true once it has cured through")
    keyed: Grade | None = Field(default=None, description="P-grade it was last abraded with")
    sound: bool | None = Field(
        default=None, description="no cracks, no lifting, survived a solvent rub"
    )
    product: Key | None = Field(default=None, description="key of its product sheet, if known")
    outdoors: bool = Field(
        default=False, description="true if it has stood outdoors since it was laid"
    )


class Patch(Part):
    """The share of an area on one substrate, with what is already on it (metal outwards)."""

    key: Key = Field(description="name of this patch in its area", examples=["metal"])
    share: SomeFraction = Field(default=1.0, description="share of the area", examples=["80 %"])
    ground: Ground = Field(description="what the surface is, or what lies under its old layers")
    layers: tuple[Layer, ...] = Field(
        default=(), description="what is already on it, metal outwards"
    )
    prepared: Grade | None = Field(
        default=None, description="P-grade the surface was last abraded with"
    )
    degreased: bool = Field(default=False, description="true if degreased since it was abraded")
    rust: bool = Field(default=False, description="true if rust is left on it")
    system: tuple[Key, ...] | None = Field(
        default=None, description="product keys, metal outwards; left out = Coatwright chooses"
    )
    note: str = Field(default="", description="anything worth remembering")
