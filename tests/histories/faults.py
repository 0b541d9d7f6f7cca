"""Every planted fault, by defect and cause."""

from histories import bonding, drying, laying
from histories.planting import FAULTS, Case, Fault

MODULES = (laying, drying, bonding)
"""Imported so that each registers its faults."""

__all__ = ["FAULTS", "MODULES", "Case", "Fault"]
