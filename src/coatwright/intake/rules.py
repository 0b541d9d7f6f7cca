"""The rules of the trade, and what its work takes, as data that people edit."""

from collections.abc import Iterable
from pathlib import Path

from coatwright.errors import InputError, InputErrors
from coatwright.intake.sheets import packaged
from coatwright.intake.toml import Written, fill, load
from coatwright.model.rule import Rule, RuleFile
from coatwright.model.work import Work


def load_rules(extra: Iterable[Path] = ()) -> tuple[Rule, ...]:
    """All rules of data/rules, and those of further files.

    A rule without both examples, with a fact or a need that does not exist, or with an id that
    another has, is refused. Raises InputErrors with every fault, each with file, line and field.
    """
    rules: dict[str, tuple[str, Rule]] = {}
    faults: list[InputError] = []
    for written in [*packaged("rules"), *(load(path) for path in extra)]:
        try:
            found = fill(written, RuleFile).rule
        except InputErrors as many:
            faults.extend(many.faults)
            continue
        for index, rule in enumerate(found):
            if rule.id in rules:
                faults.append(_twice(written, index, rules[rule.id][0]))
            rules.setdefault(rule.id, (written.file, rule))
    if faults:
        raise InputErrors(faults)
    return tuple(rule for _, rule in rules.values())


def load_work() -> Work:
    """What preparing takes, which grades are used, and the classical systems: data/work.toml."""
    written = next(found for found in packaged("") if found.file.endswith("work.toml"))
    return fill(written, Work)


def _twice(written: Written, index: int, earlier: str) -> InputError:
    return written.fault(
        ("rule", index, "id"), f"this id also stands in {earlier}", "every id must be its own"
    )
