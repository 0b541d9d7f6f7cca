"""What preparing a surface takes, and the habits of the trade that advice is built from."""

from typing import Literal

from pydantic import Field, model_validator

from coatwright.model.money import Rate
from coatwright.model.quantity import Film, Fraction, Part, Prose, Time
from coatwright.model.substrate import Family, Grade, Ground

ActName = Literal[
    "strip",
    "strip thin",
    "remove rust",
    "wash",
    "test",
    "test patch",
    "wait",
    "abrade bare",
    "abrade old",
    "abrade new",
    "block",
    "degrease",
    "coat",
    "clear up",
]


class Act(Part):
    """One kind of work: hours and materials by surface, and what it takes however small."""

    text: str = Field(description="what to do; {grade} and {layer} are filled in")
    per_m2: Time = Field(description="working time for each square metre")
    fixed: Time = Field(default=0.0, description="working time however small the patch")
    materials: Rate = Field(default="0 GBP/m2", description="what it uses up, by surface")
    wait: Time = Field(default=0.0, description="time that must pass before the next thing")


class Classical(Part):
    """Undercoats that painters name in one breath, to be compared or to be told why not."""

    title: Prose
    grounds: tuple[Ground, ...] = ()
    old_paint: bool = Field(default=False, description="for patches with old paint on them")
    layers: tuple[Family, ...]


class Work(Part):
    """All of data/work.toml."""

    source: str
    hours_spread: tuple[Fraction, float] = Field(description="10 and 90 % points of working time")
    transfer: Fraction = Field(description="share of paint that lands, for ranking routes only")
    test_fails: Fraction = Field(description="chance that old paint fails its tests; assumption")
    unknown_film: Film = Field(description="film taken for a layer until it is gauged; assumption")
    thin: Film = Field(description="up to this film a layer is abraded off rather than stripped")
    key_takes: Film = Field(description="what keying takes off")
    old_key_takes: Film = Field(description="what keying old paint takes off")
    ground_grades: dict[Ground, Grade]
    key_grades: dict[str, Grade]
    acts: dict[ActName, Act]
    classical: tuple[Classical, ...]

    @model_validator(mode="after")
    def _complete(self) -> "Work":
        for name, found, wanted in (
            ("acts", set(self.acts), set(ActName.__args__)),  # type: ignore[attr-defined]
            ("ground_grades", set(self.ground_grades), set(Ground)),
        ):
            missing = sorted(wanted - found)
            if missing:
                raise ValueError(f"{name} lacks '{missing[0]}'; every one is needed")
        return self
