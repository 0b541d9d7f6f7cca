"""Bounds that several functions of this engine share."""

from coatwright.errors import RangeError


def above(value: float, name: str) -> float:
    """The value, if it is above zero."""
    if not value > 0:
        raise RangeError(f"{name} of {value:g}", instead="it must be above 0")
    return value


def not_below(value: float, name: str) -> float:
    """The value, if it is zero or more."""
    if not value >= 0:
        raise RangeError(f"{name} of {value:g}", instead="it must be 0 or more")
    return value
