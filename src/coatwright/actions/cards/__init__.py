"""Test cards: what to print, what a photograph of one says of the gun, and the gun's footprint."""

from coatwright.actions.cards.footprint import (
    FootprintRead,
    footprint_from,
    gun_of,
    keep_footprint,
)
from coatwright.actions.cards.reading import CardRead, Kind, Seen, card, read_card, seen

__all__ = [
    "CardRead",
    "FootprintRead",
    "Kind",
    "Seen",
    "card",
    "footprint_from",
    "gun_of",
    "keep_footprint",
    "read_card",
    "seen",
]
