"""What stands on a spot: ground, coatings from the metal outwards, and how the surface is."""

from collections.abc import Iterable, Mapping
from dataclasses import dataclass, replace
from typing import Final

from coatwright.model.material import Material
from coatwright.model.rule import grade_number
from coatwright.model.substrate import Family, Ground, Layer, Patch
from coatwright.sentences import Said, say

METALS: Final = frozenset({Ground.STEEL, Ground.GALVANISED, Ground.ALUMINIUM})

KIND_OF: Final[Mapping[Family, str]] = {
    Family.ETCH: "etch",
    Family.EPOXY: "primer",
    Family.HIGH_BUILD: "build",
    Family.SPRAY_POLYESTER: "build",
    Family.SEALER: "sealer",
    Family.SOLID_2K: "colour",
    Family.BASE_SOLVENT: "basecoat",
    Family.BASE_WATER: "basecoat",
    Family.LACQUER_2K: "lacquer",
    Family.CELLULOSE: "colour",
    Family.SYNTHETIC: "colour",
    Family.ACRYLIC_1K: "colour",
    Family.STONE_CHIP: "protection",
    Family.CAVITY_WAX: "protection",
    Family.PLASTIC_PROMOTER: "pre-treatment",
    Family.METAL_PRETREATMENT: "pre-treatment",
    Family.GRP_PRETREATMENT: "pre-treatment",
    Family.FILLER: "sundry",
    Family.SEAM_SEALER: "sundry",
    Family.RUST_CONVERTER: "sundry",
    Family.UNDERSEAL: "protection",
    Family.UNKNOWN: "colour",
}
SOLUBLE: Final = frozenset({Family.CELLULOSE, Family.SYNTHETIC, Family.ACRYLIC_1K, Family.UNKNOWN})
"""Paint that a strong solvent softens again, and paint that might be."""
UNCOUNTED: Final = frozenset(
    {Family.STONE_CHIP, Family.CAVITY_WAX, Family.SEAM_SEALER, Family.FILLER, Family.UNDERSEAL}
)
"""Left out of the total film: soft or thick by design, or substrate rather than paint."""
ONE_PACK: Final = SOLUBLE | {
    Family.BASE_SOLVENT,
    Family.BASE_WATER,
    Family.STONE_CHIP,
    Family.CAVITY_WAX,
    Family.UNDERSEAL,
    Family.PLASTIC_PROMOTER,
    Family.METAL_PRETREATMENT,
    Family.GRP_PRETREATMENT,
    Family.RUST_CONVERTER,
}


@dataclass(frozen=True, eq=False)
class Traits:
    """What the rules need of one product (or of a family without a sheet); times [s].

    Two are equal only if they are the same object, so that a stack hashes fast.
    """

    family: Family
    kind: str
    two_pack: bool
    acid: bool
    porous: bool
    barrier: bool
    recoat_min: float | None
    recoat_max: float | None
    past: str | None
    lifting: tuple[float, float] | None
    sandable_from: float | None
    through_dry: float | None
    film: tuple[float, float] | None
    hides: int | None
    material: Material | None

    @property
    def title(self) -> str:
        """What a person calls it."""
        return self.material.title if self.material else Said(self.family.value)


def traits(material: Material) -> Traits:
    """The traits of a product sheet."""
    recoat, texture = material.recoat, material.texture
    lifting = None
    if recoat.lifting_from is not None and recoat.lifting_to is not None:
        lifting = (recoat.lifting_from, recoat.lifting_to)
    sandable = texture is not None and texture.sandable
    return Traits(
        family=material.family,
        kind=KIND_OF[material.family],
        two_pack=material.component("hardener") is not None,
        acid=material.acid,
        porous=material.porous,
        barrier=material.water_barrier,
        recoat_min=recoat.min,
        recoat_max=recoat.max,
        past=recoat.past,
        lifting=lifting,
        sandable_from=(material.dry_to_sand or material.through_dry) if sandable else None,
        through_dry=material.through_dry,
        film=(material.film.total_min, material.film.total_max),
        hides=grade_number(material.finest_key) if material.finest_key else None,
        material=material,
    )


def family_traits(family: Family) -> Traits:
    """The traits of a family of which no product sheet is at hand; None stays not known."""
    return Traits(
        family=family,
        kind=KIND_OF[family],
        two_pack=family not in ONE_PACK,
        acid=family in (Family.ETCH, Family.RUST_CONVERTER),
        porous=family in (Family.ETCH, Family.HIGH_BUILD, Family.SPRAY_POLYESTER, Family.FILLER),
        barrier=family is Family.EPOXY,
        recoat_min=None,
        recoat_max=None,
        past=None,
        lifting=None,
        sandable_from=None,
        through_dry=None,
        film=None,
        hides=None,
        material=None,
    )


class Catalogue:
    """Product sheets as traits: by key, and the first sheet of each family."""

    def __init__(self, library: Mapping[str, Material]) -> None:
        self.by_key: dict[str, Traits] = {key: traits(sheet) for key, sheet in library.items()}
        self._by_family: dict[Family, Traits] = {}
        for found in self.by_key.values():
            self._by_family.setdefault(found.family, found)
        self._strangers: dict[int, Traits] = {}

    def of(self, material: Material) -> Traits:
        """The traits of a sheet, also of one that is not in the library."""
        known = self.by_key.get(material.key)
        if known is not None and known.material is material:
            return known
        if id(material) not in self._strangers:  # the traits keep the sheet, and so its id, alive
            self._strangers[id(material)] = traits(material)
        return self._strangers[id(material)]

    def of_layer(self, layer: Layer) -> Traits:
        """The traits of a layer on the vehicle: its own sheet, or the first of its family."""
        if layer.product is not None and layer.product in self.by_key:
            return self.by_key[layer.product]
        return self._by_family.setdefault(layer.family, family_traits(layer.family))


@dataclass(frozen=True, slots=True)
class Coating:
    """One layer on the spot. film [m], age [s]; None is not known."""

    traits: Traits
    film: float | None
    age: float | None
    cured: bool | None
    sound: bool | None = True
    outdoors: bool = False
    planned: bool = True
    washed: bool = False

    @property
    def family(self) -> Family:
        """Its family."""
        return self.traits.family

    @property
    def title(self) -> str:
        """What a person calls it: the product if it is of this plan, else what was found."""
        if self.planned:
            return self.traits.title
        if self.family is Family.UNKNOWN:
            return Said(self.family.value)
        return say("old {family}", family=Said(self.family.value))


@dataclass(frozen=True, slots=True)
class Stack:
    """A spot: ground, coatings outwards, and the surface as it is now.

    grade is the P-grade the present surface was abraded with (None: not abraded since it was
    coated); scratch the coarsest scratch that is still to be hidden; rough says that the texture
    of a build primer has not been rubbed flat.
    """

    ground: Ground
    coatings: tuple[Coating, ...] = ()
    grade: int | None = None
    scratch: int | None = None
    rough: bool = False
    degreased: bool = False
    rust: bool = False
    bare_for: float = 0.0
    tests: frozenset[str] = frozenset()

    @property
    def top(self) -> Coating | None:
        """The uppermost coating, or None on bare ground."""
        return self.coatings[-1] if self.coatings else None

    @property
    def surface(self) -> str:
        """What the next product meets: a family, or the ground."""
        return self.coatings[-1].family if self.coatings else self.ground

    @property
    def old(self) -> tuple[Coating, ...]:
        """The coatings that were there before the plan."""
        return tuple(coating for coating in self.coatings if not coating.planned)

    def film(self) -> float | None:
        """Total dry film that counts [m]; None if one layer's is not known."""
        films = [c.film for c in self.coatings if c.family not in UNCOUNTED]
        return None if None in films else float(sum(film for film in films if film is not None))

    def with_top(self, **changes: object) -> "Stack":
        """The same with the uppermost coating changed."""
        top = replace(self.coatings[-1], **changes)  # type: ignore[arg-type]
        return replace(self, coatings=(*self.coatings[:-1], top))


def stack_of(patch: Patch, catalogue: Catalogue, bare_for: float = 0.0) -> Stack:
    """A patch as the rules see it: layers as recorded, nothing taken for granted."""
    coatings = tuple(_coating(layer, catalogue) for layer in patch.layers)
    last = patch.layers[-1].keyed if patch.layers else None
    grade = patch.prepared or last
    number = grade_number(grade) if grade else None
    return Stack(
        ground=patch.ground,
        coatings=coatings,
        grade=number,
        scratch=number,
        rough=number is None and bool(coatings) and coatings[-1].traits.kind == "build",
        degreased=patch.degreased,
        rust=patch.rust,
        bare_for=bare_for,
    )


def _coating(layer: Layer, catalogue: Catalogue) -> Coating:
    found = catalogue.of_layer(layer)
    cured = layer.cured
    if cured is None and layer.age is not None and found.through_dry is not None:
        cured = layer.age >= found.through_dry
    return Coating(
        traits=found,
        film=layer.film,
        age=layer.age,
        cured=cured,
        sound=layer.sound,
        outdoors=layer.outdoors,
        planned=False,
    )


def families(coatings: Iterable[Coating]) -> frozenset[str]:
    """The families among them."""
    return frozenset(str(coating.family) for coating in coatings)
