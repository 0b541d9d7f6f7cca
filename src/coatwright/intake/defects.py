"""Defects, their causes and the signs that tell them apart: data/defects."""

from collections.abc import Iterable
from pathlib import Path

from pydantic import ValidationError

from coatwright.errors import InputError, InputErrors
from coatwright.intake.sheets import packaged
from coatwright.intake.toml import Written, fill, load
from coatwright.model.defect import Defect, DefectFile, Pathology, SignFile, SignSheet


def load_defects(extra: Iterable[Path] = ()) -> Pathology:
    """All signs and defects of data/defects, and those of further files; theirs stand in for ours.

    A file holds either signs or defects. Raises InputErrors with every fault, each with file, line
    and field; a defect whose causes name signs that do not exist is one.
    """
    signs: dict[str, SignSheet] = {}
    defects: dict[str, Defect] = {}
    origin: dict[str, Written] = {}
    faults: list[InputError] = []
    for written in [*packaged("defects"), *(load(path) for path in extra)]:
        try:
            if "sign" in written.data:
                signs |= {one.key: one for one in fill(written, SignFile).sign}
            else:
                found = fill(written, DefectFile).defect
                defects |= {one.key: one for one in found}
                origin |= {one.key: written for one in found}
        except InputErrors as many:
            faults.extend(many.faults)
    if faults:
        raise InputErrors(faults)
    try:
        return Pathology(signs=signs, defects=defects)
    except ValidationError as failure:
        raise InputErrors([_joint(failure, origin)]) from None


def _joint(failure: ValidationError, origin: dict[str, Written]) -> InputError:
    """The fault that shows only once all files are together: a sign that no file holds."""
    context = failure.errors(include_url=False)[0]["ctx"]
    defect, cause, sign = context["at"]
    return InputError(
        f"{context['what']}",
        file=origin[defect].file,
        field=f"{defect}, {cause}, expects {sign}",
        instead=context["instead"],
    )
