"""What a fan's pattern says of the gun, as data that people edit: data/pattern_faults.toml."""

from functools import cache
from typing import Literal

from pydantic import Field, model_validator

from coatwright.intake.sheets import packaged
from coatwright.intake.toml import fill
from coatwright.model.quantity import Key, Part, Prose, all_different, refused

Measure = Literal["ends", "dip", "top", "side", "bow", "spots", "small", "hidden"]


class PatternFault(Part):
    """One fault of a pattern: by which measure it is seen, and its likely causes and cures."""

    key: Key = Field(description="name of the fault")
    title: Prose = Field(description="what the pattern looks like")
    measure: Measure = Field(description="the measure that shows it")
    above: float | None = Field(default=None, description="seen where the measure is above this")
    below: float | None = Field(default=None, description="seen where the measure is below this")
    spoils: bool = Field(description="true = such a fan must not become the gun's footprint")
    causes: tuple[Prose, ...] = Field(min_length=1, description="likely causes, likeliest first")
    cures: tuple[Prose, ...] = Field(min_length=1, description="what to change, in that order")
    check: Prose = Field(description="how to tell")
    source: str = Field(description="key in data/sources, or common practice, no source")

    @model_validator(mode="after")
    def _one_bound(self) -> "PatternFault":
        if (self.above is None) == (self.below is None):
            raise refused("a fault needs one bound", "write either above or below", "above")
        return self

    def beyond(self, value: float) -> float:
        """How far a value lies beyond the bound; negative where it is kept."""
        if self.above is not None:
            return value - self.above
        return (self.below or 0.0) - value


class PatternFaults(Part):
    """All faults of patterns that are known."""

    fault: tuple[PatternFault, ...] = Field(description="one table for each fault")

    @model_validator(mode="after")
    def _apart(self) -> "PatternFaults":
        all_different("fault", (one.key for one in self.fault), "fault")
        return self


@cache
def load_patterns() -> tuple[PatternFault, ...]:
    """The faults in the order of the file."""
    written = next(one for one in packaged("") if one.file.endswith("pattern_faults.toml"))
    return fill(written, PatternFaults).fault
