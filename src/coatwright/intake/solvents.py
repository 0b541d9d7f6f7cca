"""Solvents and the blends that stand for kinds of paint: our own data, then a shop's folders."""

from collections.abc import Iterable
from pathlib import Path

from coatwright.errors import InputError, InputErrors
from coatwright.intake.sheets import packaged
from coatwright.intake.toml import Written, fill, load
from coatwright.model.conditions.solvent import BlendFile, SolventFile, SolventSheet


def load_solvents(folders: Iterable[Path] = ()) -> dict[str, SolventSheet]:
    """Solvents by key; those of a folder stand in for ours of the same key.

    Raises InputErrors with every fault of every file, each with file, line and field.
    """
    own = [load(path) for folder in folders for path in sorted(folder.glob("*.toml"))]
    faults: list[InputError] = []
    ours = _gathered(packaged("solvents"), faults)
    theirs = _gathered(own, faults)
    if faults:
        raise InputErrors(faults)
    return ours | theirs


def load_blends() -> BlendFile:
    """The blends that stand for kinds of paint and thinners: data/blends.toml."""
    written = next(found for found in packaged("") if found.file.endswith("blends.toml"))
    return fill(written, BlendFile)


def _gathered(texts: Iterable[Written], faults: list[InputError]) -> dict[str, SolventSheet]:
    found: dict[str, SolventSheet] = {}
    for written in texts:
        try:
            solvents = fill(written, SolventFile).solvent
        except InputErrors as many:
            faults.extend(many.faults)
            continue
        for index, one in enumerate(solvents):
            if one.key in found:
                faults.append(
                    written.fault(
                        ("solvent", index, "key"),
                        f"another file holds the solvent '{one.key}' too",
                        "every key must be its own",
                    )
                )
            found[one.key] = one
    return found
