"""Does the air hold? Every recipe on the shop's line, the shop's air card, the pump's day."""

from collections.abc import Mapping

from coatwright.model.job import Job
from coatwright.planning.cautions import cautions_for
from coatwright.planning.conditions.air.card import air_card_of
from coatwright.planning.conditions.air.hold import Spraying, air_hold
from coatwright.planning.conditions.air.spell import air_spells
from coatwright.planning.conditions.air.supply import supply_of
from coatwright.planning.conditions.air_plan import AirCard, AirHold, AirSpell
from coatwright.planning.strokes.spraying import Sprayed


def air_holds(job: Job, sprayed: Mapping[tuple[str, str], Sprayed]) -> tuple[AirHold, ...]:
    """How the air holds in every recipe; () without a compressor or a hose."""
    supply = supply_of(job.workshop)
    if supply is None:
        return ()
    humidity = job.workshop.climate.humidity
    return tuple(air_hold(Spraying(supply, done, humidity)) for done in sprayed.values())


def air_card(job: Job) -> AirCard | None:
    """The air of the whole shop; None without a compressor or a hose."""
    supply = supply_of(job.workshop)
    if supply is None:
        return None
    every = cautions_for((), (), job.workshop)
    cautions = tuple(caution for caution in every if caution.where == "air")
    return air_card_of(supply, job.workshop.climate.humidity, cautions)


def air_day(job: Job, sprayed: Mapping[tuple[str, str], Sprayed]) -> tuple[AirSpell, ...]:
    """Every product in one go over all its areas: pump duty, warmth, lowest pressure, water."""
    supply = supply_of(job.workshop)
    if supply is None:
        return ()
    return air_spells(supply, job.workshop.climate.humidity, sprayed)
