"""What the paint meets: the metal or plastic, and the layers already on it."""

from enum import StrEnum

from pydantic import Field

from coatwright.model.quantity import Film, Fraction, Part, Time


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


class Layer(Part):
    """One layer already on the vehicle, as recorded or as found. None means not known."""

    family: Family
    film: Film | None = None
    age: Time | None = None
    cured: bool | None = None
    keyed: str | None = Field(
        default=None, description="P-grade it was last abraded with, e.g. P320"
    )
    sound: bool | None = Field(
        default=None, description="no cracks, no lifting, survived a solvent rub"
    )
    product: str | None = Field(default=None, description="key of its product sheet, if known")
    outdoors: bool = Field(default=False, description="has stood outdoors since it was laid")


class Patch(Part):
    """The share of an area on one substrate, with what is already on it (metal outwards)."""

    key: str = Field(pattern=r"^[a-z0-9][a-z0-9-]*$")
    share: Fraction = 1.0
    ground: Ground
    layers: tuple[Layer, ...] = ()
    prepared: str | None = Field(
        default=None, description="P-grade the surface was last abraded with"
    )
    degreased: bool = False
    rust: bool = False
    system: tuple[str, ...] | None = Field(
        default=None, description="product keys, metal outwards; left out = Coatwright chooses"
    )
    note: str = ""
