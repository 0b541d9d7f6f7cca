"""Defects of paint, their causes, and the signs of a record that tell one cause from another.

A sign is a bound that was kept or broken: three kelvin of dew-point margin, the flash-off of the
sheet. A cause says how often each of its signs is found broken where it was to blame; the sign
says how often it is found broken where it was not. Both are judgement, not measurement.
"""

from typing import Annotated, Literal

from pydantic import AfterValidator, Field, model_validator

from coatwright import units
from coatwright.errors import InputError
from coatwright.model.quantity import Key, Part, Prose, all_different, refused
from coatwright.sentences import Said

Chance = Annotated[float, Field(gt=0.0, lt=1.0)]
Where = Literal["layer", "beneath", "below", "any", "ground"]
Side = Literal["above", "below"]


def _sentence(text: str) -> str:
    if not text or text[-1] not in ".?":
        raise ValueError("end it with a full stop or a question mark")
    return text


Sentence = Annotated[str, AfterValidator(_sentence), AfterValidator(Said)]


class SignSheet(Part):
    """One sign: a quantity of the record, the bound it is held to, and how sharp that bound is.

    purpose "yes or no" is a thing that was so or not; it has no quantities.
    """

    key: Key = Field(description="name by which causes refer to it")
    title: Prose = Field(description="the quantity, in words")
    broken: Prose = Field(description="what it says when the bound is broken, in words")
    kept: Prose = Field(description="what it says when the bound is kept, in words")
    purpose: str = Field(description="which unit it is read in, or 'yes or no'")
    side: Side = Field(default="above", description="on which side of the bound it is broken")
    bound: str = Field(default="", description="the bound, where the record holds none")
    bound_from: Prose = Field(description="where the bound comes from, in words")
    soft: str = Field(default="", description="how sharp the bound is, one standard deviation")
    soft_share: float = Field(default=0.0, ge=0.0, le=1.0, description="the same as its share")
    usual: Chance = Field(description="how often broken where it is not to blame")
    do: Sentence = Field(description="how to find out, where nothing was recorded")
    source: str = Field(description="key in data/sources, or common practice, no source")

    @model_validator(mode="after")
    def _readable(self) -> "SignSheet":
        if self.purpose == "yes or no":
            return self
        if self.purpose not in units.PURPOSES:
            raise refused(f"'{self.purpose}' is no purpose", "see units.PURPOSES", "purpose")
        for field, dimension in (("bound", self._dimension), ("soft", self._difference)):
            try:
                _quantity(getattr(self, field), dimension)
            except InputError as fault:
                raise refused(fault.what, fault.instead, field) from None
        return self

    @property
    def limit(self) -> float | None:
        """The bound in SI, where the record holds none."""
        return _quantity(self.bound, self._dimension)

    @property
    def softness(self) -> float:
        """How sharp the bound is: one standard deviation, in SI."""
        return _quantity(self.soft, self._difference) or 0.0

    @property
    def _dimension(self) -> str:
        return units.dimension_of(self.purpose)

    @property
    def _difference(self) -> str:
        """The dimension of a difference of two such quantities."""
        return "temperature difference" if self.purpose == "temperature" else self._dimension


def _quantity(text: str, dimension: str) -> float | None:
    return units.parse(text, dimension) if text else None


class SignFile(Part):
    """One file of signs."""

    sign: tuple[SignSheet, ...] = Field(min_length=1)


class Check(Part):
    """Something to look at or try by hand: no record holds it, only the answer yes or no."""

    key: Key = Field(description="name by which causes refer to it")
    do: Sentence = Field(description="what to do, and which answer is yes")
    usual: Chance = Field(description="how often yes where none of its causes is to blame")


class Cause(Part):
    """One cause of a defect: what speaks for it, and what to do about it."""

    key: Key
    title: Sentence = Field(description="as a painter would say it")
    prior: float = Field(gt=0.0, description="how common, against the other causes")
    where: Where = Field(
        default="layer",
        description="its signs are looked for in the layer itself, in the one beneath it, in all "
        "below it, in any of them, or on the bare ground",
    )
    expects: dict[Key, Chance] = Field(
        default={}, description="how often each sign is broken where this is the cause"
    )
    answers: dict[Key, Chance] = Field(
        default={}, description="how often each check says yes where this is the cause"
    )
    remedy: Sentence = Field(description="what to do now")
    change: Sentence = Field(description="what to do differently next time")
    source: str = Field(description="key in data/sources, or common practice, no source")

    @model_validator(mode="after")
    def _telling(self) -> "Cause":
        if not self.expects and not self.answers:
            raise refused("nothing speaks for this cause", "give it signs or checks", "expects")
        return self


class Defect(Part):
    """One defect, and its causes."""

    key: Key
    title: Prose
    look: Sentence = Field(description="how it looks or feels")
    also: tuple[Prose, ...] = Field(default=(), description="other words for it")
    caution: Prose = Field(default="", description="hazards of looking into it or putting it right")
    check: tuple[Check, ...] = ()
    cause: tuple[Cause, ...] = Field(min_length=2)
    source: str = Field(description="key in data/sources, or common practice, no source")

    @model_validator(mode="after")
    def _whole(self) -> "Defect":
        all_different("cause", (one.key for one in self.cause), "cause")
        all_different("check", (one.key for one in self.check), "check")
        usual = {one.key: one.usual for one in self.check}
        for index, cause in enumerate(self.cause):
            for key, chance in cause.answers.items():
                _tells(key, chance, usual, ("cause", index, "answers", key))
        return self


class DefectFile(Part):
    """One file of defects."""

    defect: tuple[Defect, ...] = Field(min_length=1)


class Pathology(Part):
    """All signs and all defects, by key."""

    signs: dict[str, SignSheet]
    defects: dict[str, Defect]

    @model_validator(mode="after")
    def _joined(self) -> "Pathology":
        usual = {key: sign.usual for key, sign in self.signs.items()}
        for defect in self.defects.values():
            for cause in defect.cause:
                for key, chance in cause.expects.items():
                    _tells(key, chance, usual, (defect.key, cause.key, key))
        return self


def _tells(key: str, chance: float, usual: dict[str, float], at: tuple[str | int, ...]) -> None:
    """Refuse what no sign stands for, and a sign that would speak against its own cause."""
    if key not in usual:
        raise refused(f"there is no '{key}'", "name one that is there", *at)
    if chance <= usual[key]:
        raise refused(
            f"'{key}' is found as often where it is not to blame ({usual[key]:g})",
            "give the cause a greater chance",
            *at,
        )
