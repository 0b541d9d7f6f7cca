"""The measure `manned` in the constraint model: per day from the first start to the last end."""

from itertools import product
from typing import TYPE_CHECKING, Any, NamedTuple

from ortools.sat.python import cp_model

from coatwright.engines.timetable.problem import Span
from coatwright.engines.timetable.solver._compiled import daily
from coatwright.engines.timetable.solver._layout import edges_of

if TYPE_CHECKING:
    from coatwright.engines.timetable.solver._model import Model

Days = dict[int, tuple[int, int]]


def manned(model: "Model") -> Any:
    """Sum over days from the first start to the last end, as an expression."""
    days = _days(model)
    edges = {
        day: (model.cp.new_int_var(*span, ""), model.cp.new_int_var(*span, ""))
        for day, span in days.items()
    }
    total = []
    for day, (low, high) in days.items():
        first, last = edges[day]
        length = model.cp.new_int_var(0, high - low, "")
        model.cp.add(length >= last - first)
        total.append(length)
    put = [(sizes.start, sizes.end) for sizes in model.tasks if sizes.put]
    still = edges_of(daily(model.made.problem), model.made.problem.day, put)
    for day in days.keys() & still.keys():
        model.cp.add(edges[day][0] <= still[day][0])
        model.cp.add(edges[day][1] >= still[day][1])
    around = Around(model, days, edges)
    nightless = any(days[day][1] == days[day + 1][0] for day in days if day + 1 in days)
    for i, sizes in ((i, sizes) for i, sizes in enumerate(model.tasks) if not sizes.put):
        spread = model.frame.spread
        reach = spread.earliest[i], model.made.end_of(i, spread.latest[i])
        if nightless or model.made.problem.tasks[i].split:
            around.long((sizes.start, sizes.end), reach)
        else:
            around.short((sizes.start, sizes.end), reach)
    for mix in (mix for mix in model.mixes if mix.standing is None):
        span = mix.start, mix.start + model.made.problem.pots[mix.pot].mixing
        (around.long if nightless else around.short)(span, (0, model.frame.until), mix.used)
    return sum(total)


def _days(model: "Model") -> Days:
    """First opening and last closing of every day."""
    days: Days = {}
    for low, high in daily(model.made.problem):
        day = low // model.made.problem.day
        if low < model.frame.until:
            days[day] = min(low, days.get(day, (low, high))[0]), high
    return days


class Around(NamedTuple):
    """The edges of each day, to be put around pieces of work."""

    model: "Model"
    days: Days
    edges: dict[int, tuple[Any, Any]]

    def short(self, span: tuple[Any, Any], reach: Span, used: Any = None) -> None:
        """Around work that begins and ends on the same day, if it is there at all."""
        cp, (start, end) = self.model.cp, span
        there = [] if used is None else [used]
        for day, on in _on(cp, start, self._close(reach), used).items():
            first, last = self.edges[day]
            cp.add(first <= start).only_enforce_if(on, *there)
            cp.add(last >= end).only_enforce_if(on, *there)

    def long(self, span: tuple[Any, Any], reach: Span, used: Any = None) -> None:
        """Around work that may be laid down on one day and taken up on another."""
        cp, (start, end), close = self.model.cp, span, self._close(reach)
        begun = _on(cp, start, close, used)
        done = _on(cp, end, {day: (low + 1, high + 1) for day, (low, high) in close.items()}, used)
        there = [] if used is None else [used]
        for day, (low, high) in close.items():
            first, last = self.edges[day]
            cp.add(first <= start).only_enforce_if(begun[day], *there)
            cp.add(last >= end).only_enforce_if(done[day], *there)
            cp.add(last >= high).only_enforce_if(begun[day], ~done[day], *there)
            cp.add(first <= low).only_enforce_if(done[day], ~begun[day], *there)
            for before, after in product(close, close):
                if before < day < after:
                    both = (begun[before], done[after], *there)
                    cp.add(last - first >= high - low).only_enforce_if(*both)

    def _close(self, reach: Span) -> Days:
        """The days that a piece of work may touch."""
        return {
            day: (low, high)
            for day, (low, high) in self.days.items()
            if low < reach[1] and high > reach[0]
        }


def _on(cp: cp_model.CpModel, at: Any, days: Days, used: Any) -> dict[int, Any]:
    """For each day a literal that a moment lies in it."""
    if isinstance(at, int):
        return {day: cp.new_constant(int(low <= at < high)) for day, (low, high) in days.items()}
    if len(days) == 1 and used is None:
        return {day: cp.new_constant(1) for day in days}
    literals = {day: cp.new_bool_var("") for day in days}
    if used is None:
        cp.add_exactly_one(literals.values())
    else:
        cp.add(sum(literals.values()) == used)
    for day, (low, high) in days.items():
        cp.add_linear_constraint(at, low, high - 1).only_enforce_if(literals[day])
    return literals
