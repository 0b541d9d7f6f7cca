"""What air and weather do to a plan: the line at the trigger, the windows, the hours."""

from collections.abc import Mapping, Sequence
from datetime import datetime

from coatwright.model.conditions.weather import Readings
from coatwright.model.job import Job
from coatwright.model.material import Material
from coatwright.planning.advice.routes import Adviser
from coatwright.planning.conditions.airhold import air_card, air_day, air_holds
from coatwright.planning.conditions.climate import go_no_go, shop_day
from coatwright.planning.conditions.lapses import Bill
from coatwright.planning.conditions.windows import Season, window_map
from coatwright.planning.plan import AreaPlan, Outlook
from coatwright.planning.strokes.spraying import Sprayed


def outlook(
    job: Job,
    areas: Sequence[AreaPlan],
    sprayed: Mapping[tuple[str, str], Sprayed],
    materials: Mapping[str, Material],
    adviser: Adviser,
    readings: Readings | None = None,
) -> Outlook:
    """The air of every recipe, the windows of every layer, and what may be sprayed hour by hour.

    Without a table of weather the shop's usual climate stands for every hour.
    """
    day = shop_day(job, readings)
    bill = Bill(adviser.work, job.workshop.rates.hour.amount)
    recipes = {done.card.key: done.card for done in sprayed.values()}
    season = Season(materials, day, bill)
    return Outlook(
        air=air_holds(job, dict(sprayed)),
        air_card=air_card(job),
        spells=air_day(job, dict(sprayed)),
        windows=window_map(job, areas, recipes, season),
        hours=go_no_go(job, list(materials.values()), day),
        start=_stamp(day.start),
    )


def _stamp(start: datetime | None) -> str:
    return start.isoformat(timespec="minutes") if start is not None else ""
