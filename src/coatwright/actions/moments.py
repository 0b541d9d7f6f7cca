"""What lies on a patch, its moments as the clock of a place shows them."""

from dataclasses import replace
from datetime import tzinfo

from coatwright.record.state import LaidCoat, PatchState, Place


def zoned(patch: PatchState, zone: tzinfo | None) -> PatchState:
    """The same patch, the moments of its coats in a time zone, and so what they are told with."""
    layers = tuple(
        layer._replace(
            coats=tuple(_coat(coat, zone) for coat in layer.coats),
            rubbed=tuple(rub._replace(place=_place(rub.place, zone)) for rub in layer.rubbed),
            broke=tuple(one._replace(place=_place(one.place, zone)) for one in layer.broke),
        )
        for layer in patch.layers
    )
    ground_broke = tuple(one._replace(place=_place(one.place, zone)) for one in patch.ground_broke)
    return replace(patch, layers=layers, ground_broke=ground_broke)


def _place(place: Place, zone: tzinfo | None) -> Place:
    return place._replace(at=place.at.astimezone(zone))


def _coat(coat: LaidCoat, zone: tzinfo | None) -> LaidCoat:
    return coat._replace(
        begun=coat.begun.astimezone(zone) if coat.begun else None,
        done=coat.done.astimezone(zone) if coat.done else None,
    )
