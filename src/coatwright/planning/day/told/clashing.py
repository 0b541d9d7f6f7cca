"""Why no day works, in plain words, and the cheapest way out."""

from collections.abc import Mapping

from coatwright.engines.timetable.clashes import Clash, Demand, Widening
from coatwright.figures import Figure
from coatwright.planning.day.plan import DayClash
from coatwright.planning.day.sets import AreaSet
from coatwright.planning.day.steps import Bout, Steps

SOURCE = "day-timetable"


def told(clash: Clash, steps: Steps, sets: tuple[AreaSet, ...]) -> DayClash:
    """The clash of a timetable as a person reads it."""
    names = Names(steps, sets)
    cannot = tuple(dict.fromkeys(names.demand(one) for one in clash.demands))
    work = [names.bout(key) for key in clash.tasks[:6]]
    more = f" and {len(clash.tasks) - 6} more" if len(clash.tasks) > 6 else ""
    text = f"No day works. These cannot all be done: {'; '.join(work)}{more}."
    give_up = tuple(names.demand(one) for one in clash.give_up or ())
    price = None
    if clash.give_up:
        price = Figure(float(clash.price), "money", "assumed", "common practice, no source",
                       "what it takes once these windows have closed, by work.toml")  # fmt: skip
    return DayClash(text, cannot, clash.minimal, _way_out(clash, names, give_up), give_up, price)


def _way_out(clash: Clash, names: "Names", give_up: tuple[str, ...]) -> str:
    ways = [names.widening(one) for one in clash.widen]
    if give_up:
        known = "Cheapest" if clash.cheapest else "Cheapest found"
        ways.insert(0, f"{known}: let it lapse and key it: {'; '.join(give_up)}")
    if not ways:
        return ("No single change was found to be enough: open longer, plan fewer areas, or change "
                "more than one of the above.")  # fmt: skip
    return "Any one of these is enough. " + ". ".join(ways) + "."


class Names:
    """Bouts, sets and demands by the names a person knows."""

    def __init__(self, steps: Steps, sets: tuple[AreaSet, ...]) -> None:
        self.bouts: Mapping[str, Bout] = {one.key: one for one in steps.bouts}
        self.titles = {one.key: one.title for one in sets}

    def bout(self, key: str) -> str:
        """An act and where."""
        one = self.bouts.get(key)
        if one is None:
            return key
        coat = f"coat {one.coat} of {one.product}" if one.coat else one.act
        return f"{coat} on {self.titles[one.set]}"

    def demand(self, one: Demand) -> str:
        """One demand in words."""
        if one.kind == "least" and one.size <= 1:
            return f"{self.bout(one.keys[1])} comes after {self.bout(one.keys[0])}"
        if one.name and one.kind in ("most", "least"):
            bound = "at most" if one.kind == "most" else "at least"
            return f"{one.name} ({bound} {time_told(one.size)})"
        if one.name:
            return one.name
        on = ", ".join(self.bout(key) if key in self.bouts else key for key in one.keys)
        words = {
            "most": f"at most {time_told(one.size)} between {on}",
            "least": f"at least {time_told(one.size)} between {on}",
            "life": f"a mix of {on} lasts {time_told(one.size)} from the start of mixing",
            "latest": f"{on} must be done by {moment(one.size)}",
            "earliest": f"{on} cannot begin before {moment(one.size)}",
            "horizon": f"all is done by {moment(one.size)}",
            "windows": f"{on} only at hours that weather, sheet and daylight allow",
            "away": f"{on} is away at times",
            "shut": "the shop is shut at night, in breaks and on closed days",
            "capacity": f"a mix of {on} is at most {one.size} mL",
            "count": f"there is only {one.size} of {on}",
            "cleaning": f"{on} takes {one.size} min to clean between two products",
            "hold": f"{on} stays with its work until that is done",
            "apart": f"not at the same time: {on}",
            "hands": f"there are {one.size} people",
        }
        return words[one.kind]

    def widening(self, one: Widening) -> str:
        """How far one demand alone would have to give."""
        by = {
            "most": f"{time_told(one.by)} more, if sheet and rule allow it, for",
            "life": f"a hardener whose mix lives {time_told(one.by)} longer, by its sheet, for",
            "latest": f"allow {time_told(one.by)} more for",
            "earliest": f"begin {time_told(one.by)} sooner with",
            "windows": f"hours wider by {time_told(one.by)} at both ends for",
            "capacity": f"{one.by} mL more in one mix for",
            "count": f"{one.by} more of what is short in",
            "horizon": f"{one.by} more " + ("day, for" if one.by == 1 else "days, for"),
            "shut": f"stay open {time_told(one.by)} longer every evening, against",
        }
        return f"{by.get(one.demand.kind, 'give up')} '{self.demand(one.demand)}'"


def time_told(minutes: int) -> str:
    """A length of time in words."""
    if minutes < 120:
        return f"{minutes} min"
    return f"{minutes / 60:.1f} h".replace(".0 h", " h")


def moment(minutes: int) -> str:
    """A time of the plan in words."""
    day, rest = divmod(minutes, 1440)
    return f"day {day + 1}, {rest // 60:02d}:{rest % 60:02d}"
