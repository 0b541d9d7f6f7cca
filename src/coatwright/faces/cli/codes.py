"""Exit codes: one table from what went wrong to the number a script reads."""

from collections.abc import Mapping
from typing import Final

from coatwright.errors import (
    CoatwrightError,
    Infeasible,
    InputError,
    InputErrors,
    NotConverged,
    NotFound,
    RangeError,
    StoreError,
)

FINE: Final = 0
FINDINGS: Final = 1
USAGE: Final = 2
BAD_INPUT: Final = 3
NOT_FOUND: Final = 4
INFEASIBLE: Final = 5
NO_FIGURE: Final = 6
OTHER: Final = 7
NO_RECORD: Final = 8

CODES: Final[Mapping[type[CoatwrightError], int]] = {
    InputError: BAD_INPUT,
    InputErrors: BAD_INPUT,
    NotFound: NOT_FOUND,
    Infeasible: INFEASIBLE,
    RangeError: NO_FIGURE,
    NotConverged: NO_FIGURE,
    StoreError: NO_RECORD,
    CoatwrightError: OTHER,
}

MEANINGS: Final[Mapping[int, str]] = {
    FINE: "fine",
    FINDINGS: "the answer is no ('may'), or with --strict something must be mended first",
    USAGE: "the command was not written as it should be",
    BAD_INPUT: "a file cannot be read, or has faults; all are listed",
    NOT_FOUND: "no such area, patch, product, hand, gun or figure",
    INFEASIBLE: "nothing meets all that was asked; the demands in conflict are named",
    NO_FIGURE: "outside the range in which a formula holds, or a solver gave no answer",
    OTHER: "any other error of Coatwright",
    NO_RECORD: "the record of what happened cannot be read or written",
}


def code_for(error: CoatwrightError) -> int:
    """The exit code of an error; a fault that stands in no file was typed on the command line."""
    if type(error) is InputError and not error.file:
        return USAGE
    return CODES[type(error)]


def listed() -> str:
    """The codes for the end of a help page."""
    return "\n".join(f"  {code}  {meaning}" for code, meaning in MEANINGS.items())
