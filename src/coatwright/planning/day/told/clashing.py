"""Why no day works, in plain words, and the cheapest way out."""

from collections.abc import Mapping

from coatwright.engines.timetable.clashes import Clash, Demand, Widening
from coatwright.figures import Figure
from coatwright.planning.day.plan import DayClash
from coatwright.planning.day.sets import AreaSet
from coatwright.planning.day.steps import Bout, Steps
from coatwright.sentences import Said, joined, say

SOURCE = "day-timetable"


def told(clash: Clash, steps: Steps, sets: tuple[AreaSet, ...]) -> DayClash:
    """The clash of a timetable as a person reads it."""
    names = Names(steps, sets)
    cannot = tuple(dict.fromkeys(names.demand(one) for one in clash.demands))
    work = [names.bout(key) for key in clash.tasks[:6]]
    more = say(" and {tasks} more", tasks=len(clash.tasks) - 6) if len(clash.tasks) > 6 else ""
    text = say(
        "No day works. These cannot all be done: {work}{more}.", work=joined("; ", work), more=more
    )
    give_up = tuple(names.demand(one) for one in clash.give_up or ())
    price = None
    if clash.give_up:
        price = Figure(float(clash.price), "money", "assumed", "common practice, no source",
                       "what it takes once these windows have closed, by work.toml")  # fmt: skip
    return DayClash(text, cannot, clash.minimal, _way_out(clash, names, give_up), give_up, price)


def _way_out(clash: Clash, names: "Names", give_up: tuple[str, ...]) -> str:
    ways = [names.widening(one) for one in clash.widen]
    if give_up:
        known = say("Cheapest") if clash.cheapest else say("Cheapest found")
        listed = joined("; ", give_up)
        ways.insert(
            0, say("{known}: let it lapse and key it: {listed}", known=known, listed=listed)
        )
    if not ways:
        return say(
            "No single change was found to be enough: open longer, plan fewer areas, or change "
            "more than one of the above."
        )
    return say("Any one of these is enough. {ways}.", ways=joined(". ", ways))


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
        coat = (
            say("coat {coat} of {product}", coat=one.coat, product=one.product)
            if one.coat
            else act_told(one.act)
        )
        return say("{coat} on {titles}", coat=coat, titles=self.titles[one.set])

    def demand(self, one: Demand) -> str:
        """One demand in words."""
        if one.kind == "least" and one.size <= 1:
            return say(
                "{keys} comes after {keys2}",
                keys=self.bout(one.keys[1]),
                keys2=self.bout(one.keys[0]),
            )
        if one.name and one.kind in ("most", "least"):
            bound = say("at most") if one.kind == "most" else say("at least")
            return say(
                "{name} ({bound} {size})", name=one.name, bound=bound, size=time_told(one.size)
            )
        if one.name:
            return one.name
        on = joined(", ", (self.bout(key) if key in self.bouts else key for key in one.keys))
        words = {
            "most": say("at most {size} between {on}", size=time_told(one.size), on=on),
            "least": say("at least {size} between {on}", size=time_told(one.size), on=on),
            "life": say(
                "a mix of {on} lasts {size} from the start of mixing",
                on=on,
                size=time_told(one.size),
            ),
            "latest": say("{on} must be done by {size}", on=on, size=moment(one.size)),
            "earliest": say("{on} cannot begin before {size}", on=on, size=moment(one.size)),
            "horizon": say("all is done by {size}", size=moment(one.size)),
            "windows": say("{on} only at hours that weather, sheet and daylight allow", on=on),
            "away": say("{on} is away at times", on=on),
            "shut": say("the shop is shut at night, in breaks and on closed days"),
            "capacity": say("a mix of {on} is at most {size} mL", on=on, size=one.size),
            "count": say("there is only {size} of {on}", size=one.size, on=on),
            "cleaning": say(
                "{on} takes {size} min to clean between two products", on=on, size=one.size
            ),
            "hold": say("{on} stays with its work until that is done", on=on),
            "apart": say("not at the same time: {on}", on=on),
            "hands": say("there are {size} people", size=one.size),
        }
        return words[one.kind]

    def widening(self, one: Widening) -> str:
        """How far one demand alone would have to give."""
        by = {
            "most": say("{by} more, if sheet and rule allow it, for", by=time_told(one.by)),
            "life": say(
                "a hardener whose mix lives {by} longer, by its sheet, for", by=time_told(one.by)
            ),
            "latest": say("allow {by} more for", by=time_told(one.by)),
            "earliest": say("begin {by} sooner with", by=time_told(one.by)),
            "windows": say("hours wider by {by} at both ends for", by=time_told(one.by)),
            "capacity": say("{by} mL more in one mix for", by=one.by),
            "count": say("{by} more of what is short in", by=one.by),
            "horizon": say("1 more day, for")
            if one.by == 1
            else say("{by} more days, for", by=one.by),
            "shut": say("stay open {by} longer every evening, against", by=time_told(one.by)),
        }
        return say(
            "{kind} '{demand}'",
            kind=by.get(one.demand.kind, say("give up")),
            demand=self.demand(one.demand),
        )


def act_told(act: str) -> str:
    """An act by its name; a strip is a shape too, so stripping is told apart."""
    return say("stripping") if act == "strip" else Said(act)


def time_told(minutes: int) -> str:
    """A length of time in words."""
    if minutes < 120:
        return say("{minutes} min", minutes=minutes)
    hours = minutes / 60
    return say("{hours:.{digits}f} h", hours=hours, digits=int(f"{hours:.1f}"[-1] != "0"))


def moment(minutes: int) -> str:
    """A time of the plan in words."""
    day, rest = divmod(minutes, 1440)
    return say("day {day}, {hour:02d}:{minute:02d}", day=day + 1, hour=rest // 60, minute=rest % 60)
