"""Reads values/<source-key>.toml and holds each case against the code. See README.md here."""

import importlib
import math
import re
import tomllib
from dataclasses import dataclass
from pathlib import Path
from typing import Any

from coatwright import units
from coatwright.errors import InputError

VALUES = Path(__file__).parent / "values"
DATA = Path(units.__file__).parent / "data"
TAGS = {"C1", "C2", "L", "D"}
_WRITTEN = re.compile(r"^\s*[+-]?[0-9.]+(?:[eE][+-]?[0-9]+)?\s+\S.*$|^\s*[+-]?[0-9.]+\s*%\s*$")
_FLOAT_NOISE = 1e-9


@dataclass(frozen=True)
class Case:
    """One published value and the call that must give it."""

    source: str
    function: str
    table: dict[str, Any]

    def __str__(self) -> str:
        return f"{self.source}-{self.table['id']}-{self.function.rsplit('.', 1)[-1]}"


def cases(engine: str) -> list[Case]:
    """Every case whose function belongs to an engine ("data": a value of a data file)."""
    return [case for case in everything() if case.function.split(".")[0] == engine]


def everything() -> list[Case]:
    """Every case of every file; one that names two functions counts for both."""
    return [
        Case(file.stem, function, table)
        for file in sorted(VALUES.glob("*.toml"))
        for table in tomllib.loads(file.read_text())["case"]
        for function in _functions(table["function"])
    ]


def _functions(named: str | list[str]) -> list[str]:
    return [named] if isinstance(named, str) else named


def written(value: Any) -> Any:
    """SI value of a written quantity ("60 s"), inside lists too; anything else as it is."""
    if isinstance(value, list):
        return [written(item) for item in value]
    if isinstance(value, dict):
        return _nested(value) if "call" in value else {k: written(v) for k, v in value.items()}
    if isinstance(value, str) and _WRITTEN.match(value):
        return _quantity(value)
    return value


def _quantity(text: str) -> float:
    for dimension in units.UNITS:
        try:
            return units.parse(text, dimension)
        except InputError:
            continue
    raise ValueError(f"'{text}' has no unit that coatwright knows")


def _nested(value: dict[str, Any]) -> Any:
    return call(value["call"], value["inputs"])


def call(function: str, inputs: dict[str, Any]) -> Any:
    """What the code says for the written inputs."""
    if function == "data.value":
        return _datum(inputs)
    module, name = f"coatwright.engines.{function}".rsplit(".", 1)
    return getattr(importlib.import_module(module), name)(**written(inputs))


def _datum(inputs: dict[str, Any]) -> Any:
    found: Any = tomllib.loads((DATA / inputs["file"]).read_text())
    for key in inputs["at"]:
        found = found[key]
    return written(found)


def found(case: Case) -> Any:
    """The number, list, truth or word that the case is about."""
    table = case.table
    value = call(case.function, table["inputs"])
    if "field" in table:
        value = getattr(value, table["field"])
    if "item" in table:
        value = value[table["item"]]
    if "against" in table:
        value = value / call(case.function, table["inputs"] | table["against"])
    return value


def faults(case: Case) -> list[str]:
    """How the code differs from what is published; empty if it agrees."""
    if "raises" in case.table:
        return _silence(case)
    value = found(case)
    checks = {
        "expected": lambda: _agrees(value, case.table),
        "at_least": lambda: value >= written(case.table["at_least"]),
        "at_most": lambda: value <= written(case.table["at_most"]),
    }
    named = [name for name in checks if name in case.table]
    if not named:
        return ["the case expects nothing"]
    return [
        f"found {value}, but {name} is {case.table[name]}" for name in named if not checks[name]()
    ]


def _silence(case: Case) -> list[str]:
    wanted = case.table["raises"]
    try:
        value = found(case)
    except Exception as error:
        return [] if type(error).__name__ == wanted else [f"raised {error!r}, not {wanted}"]
    return [f"found {value}, but should have raised {wanted}"]


def _agrees(value: Any, table: dict[str, Any]) -> bool:
    expected = written(table["expected"])
    if isinstance(expected, bool | str):
        return bool(value == expected)
    if isinstance(expected, list):
        listed = list(value)
        return len(listed) == len(expected) and all(
            _near(one, other, table) for one, other in zip(listed, expected, strict=True)
        )
    return _near(float(value), expected, table)


def _near(value: Any, expected: Any, table: dict[str, Any]) -> bool:
    if isinstance(expected, str):
        return bool(value == expected)
    if "factor" in table:
        return expected / table["factor"] <= value <= expected * table["factor"]
    if "relative" in table:
        return math.isclose(value, expected, rel_tol=written(table["relative"]))
    return abs(value - expected) <= _absolute(table) + _FLOAT_NOISE * abs(expected)


def _absolute(table: dict[str, Any]) -> float:
    tolerance = table["tolerance"]
    if isinstance(tolerance, str) and tolerance.rstrip().endswith(("degC", "degF")):
        return units.parse(tolerance, "temperature difference")
    return float(written(tolerance))
