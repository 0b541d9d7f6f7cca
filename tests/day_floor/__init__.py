"""A small shop with made-up work, so that the day plan of it can be worked out by hand.

20 degC day and night, films as on the sheets: every time of a sheet holds as it is written. The
shop is open from 08:00 to 17:30, with a rest from 10:15 to 10:30 and from 12:30 to 13:15. Nothing
here is a real product.
"""

from collections.abc import Mapping
from itertools import pairwise

from coatwright.actions.workshop import open_bench
from coatwright.model.area import Area
from coatwright.model.conditions.hours import Helper, Hours
from coatwright.model.job import Job
from coatwright.model.material import Material
from coatwright.planning.day.plan import DayPlan, Entry
from coatwright.planning.day.works import ActWork, AreaWork, Asked, CoatWork, Follow, LayerWork

MINUTE = 60.0
HOUR = 3600.0


def job(hours: Hours | None = None, helpers: int = 0) -> Job:
    """The practice job with other hours and helpers; its one hand is the learner."""
    own = open_bench("practice").job
    shop = own.workshop.model_copy(
        update={
            "hours": hours or Hours(),
            "helpers": tuple(Helper(key=f"helper-{n}", title="A helper") for n in range(helpers)),
        }
    )
    return own.model_copy(update={"workshop": shop})


def sheet(
    key: str,
    recoat: tuple[float, float | None] = (HOUR, None),
    flash: float = 15 * MINUTE,
    pot: float | None = None,
    past: str = "abrade",
) -> Material:
    """A product of those times [s], otherwise the two-pack solid colour of the library."""
    own = open_bench("practice").library["solid-two-pack"]
    return own.model_copy(
        update={
            "key": key,
            "title": key,
            "flash": own.flash.model_copy(update={"min": flash, "max": None}),
            "recoat": own.recoat.model_copy(
                update={"min": recoat[0], "max": recoat[1], "past": past}
            ),
            "pot_life": pot,
            "dry_to_sand": recoat[0],
            "through_dry": recoat[0],
        }
    )


def asked(*sheets: Material, of: Job | None = None) -> Asked:
    """What a day is planned from, without any plan behind it."""
    bench = open_bench("practice")
    library: Mapping[str, Material] = {one.key: one for one in sheets}
    return Asked(of or job(), (), {}, (), (), library, bench.shop.adviser.work)


def layer(
    material: Material,
    coats: int = 1,
    minutes: float = 10,
    acts: tuple[ActWork, ...] = (),
    over: Follow | None = None,
) -> LayerWork:
    """A layer at the film its sheet's times hold for; each coat takes 100 mL."""
    film = material.film
    return LayerWork(
        material=material,
        coats=(CoatWork(minutes * MINUTE, 1e-4),) * coats,
        coat_film=(film.min + film.max) / 2,
        film=(film.total_min + film.total_max) / 2,
        gun="colour-gun",
        acts=acts,
        follows=(over,) if over else (),
    )


def act(name: str, minutes: float) -> ActWork:
    """One act of preparation."""
    return ActWork(name, name, (), minutes * MINUTE)


def area(key: str, *layers: LayerWork, zone: str = "outside", metal: bool = True) -> AreaWork:
    """An area of one square metre or so."""
    own: Area = open_bench("practice").job.areas[0]
    where = own.model_copy(update={"key": key, "title": key, "zone": zone})
    return AreaWork(where, 1.0, "learner", metal, layers)


def entries(day: DayPlan, act: str, area: str = "") -> list[Entry]:
    """The entries of an act, on one area or on all."""
    return [one for one in day.entries if one.act == act and area in ("", one.area)]


def at(day: int, clock: str) -> float:
    """A time of the plan [s]: day counted from 1."""
    hours, minutes = clock.split(":")
    return (day - 1) * 24 * HOUR + int(hours) * HOUR + int(minutes) * MINUTE


def broken(day: DayPlan) -> list[str]:
    """Every promise of a day plan that its entries break, looked at without the timetable."""
    return [*_broken_people(day), *_broken_coats(day), *_broken_windows(day), *_broken_mixes(day)]


def _parts(one: Entry) -> list[tuple[float, float]]:
    if one.parts:
        return [(part.start.value, part.end.value) for part in one.parts]
    return [(one.start.value, one.end.value)]


def _broken_people(day: DayPlan) -> list[str]:
    """Nobody is at two things at once or works through a rest; work adds up."""
    found = []
    for person in day.people:
        mine = sorted(
            (span, one.key) for one in day.entries if person.key in one.people
            for span in _parts(one)
        )  # fmt: skip
        for (before, first), (after, second) in pairwise(mine):
            if after[0] < before[1]:
                found.append(f"{person.key} is at {first} and {second} at once")
    for one in day.entries:
        if one.people and one.kind != "rest":
            done = sum(end - start for start, end in _parts(one))
            if abs(done - one.work.value) > 1.0:
                found.append(f"{one.key} takes {done} s, not {one.work.value}")
    return found


def _broken_coats(day: DayPlan) -> list[str]:
    """Coats run through, in order, and flash between; nothing is rubbed in the wet."""
    found = [f"{one.key} is broken off" for one in day.entries if one.act == "coat" and one.parts]
    wet = [one for one in day.entries if one.kind == "wait"]
    for flash in (one for one in wet if one.act == "flash"):
        later = [
            one for one in entries(day, "coat", flash.area)
            if one.product == flash.product and one.coat == flash.coat + 1
        ]  # fmt: skip
        if any(one.start.value < flash.end.value for one in later):
            found.append(f"{flash.key} is not waited for")
    rubs = [one for one in day.entries if one.act in ("block", "abrade old", "abrade bare")]
    for coat in (one for one in day.entries if one.kind == "spray"):
        for rub in rubs:
            meet = any(a < coat.end.value and b > coat.start.value for a, b in _parts(rub))
            if meet:
                found.append(f"{rub.key} raises dust over {coat.key}")
    return found


def _broken_windows(day: DayPlan) -> list[str]:
    return [f"{one.key} is not kept" for one in day.windows if not one.kept]


def _broken_mixes(day: DayPlan) -> list[str]:
    found = []
    for mix in day.mixes:
        served = [one for one in day.entries if one.key in mix.serves]
        gone = mix.gone.value if mix.gone else float("inf")
        found += [
            f"{mix.key} does not live for {one.key}"
            for one in served
            if one.start.value < mix.ready.value or one.end.value > gone
        ]
    sprayed = {one.key for one in day.entries if one.act == "coat" and one.mix}
    taken = [key for mix in day.mixes for key in mix.serves]
    if sorted(taken) != sorted(sprayed):
        found.append("a coat takes its paint from no mix, or from two")
    return found
