"""Rubbing down: grades, scratches, what comes off, the chance of breaking through."""

from coatwright.engines.abrasion.grades import grades, grain, next_grade_ok, number, p_grade
from coatwright.engines.abrasion.stock import (
    EDGE,
    STEEL,
    break_through,
    relief,
    roughness,
    scratch,
    take_off,
)

__all__ = [
    "EDGE",
    "STEEL",
    "break_through",
    "grades",
    "grain",
    "next_grade_ok",
    "number",
    "p_grade",
    "relief",
    "roughness",
    "scratch",
    "take_off",
]
