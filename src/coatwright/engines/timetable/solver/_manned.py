"""The measure `manned` in the constraint model: per day from the first start to the last end."""

from typing import TYPE_CHECKING, Any

from ortools.sat.python import cp_model

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
    for i, sizes in ((i, sizes) for i, sizes in enumerate(model.tasks) if not sizes.put):
        spread = model.frame.spread
        reach = spread.earliest[i], model.made.end_of(i, spread.latest[i])
        _round(model, (sizes.start, sizes.end), reach, days, edges)
    for mix in (mix for mix in model.mixes if mix.standing is None):
        mixing = model.made.problem.pots[mix.pot].mixing
        reach = 0, model.frame.until
        _round(model, (mix.start, mix.start + mixing), reach, days, edges, mix.used)
    return sum(total)


def _days(model: "Model") -> Days:
    """First opening and last closing of every day."""
    days: Days = {}
    for low, high in daily(model.made.problem):
        day = low // model.made.problem.day
        if low < model.frame.until:
            days[day] = min(low, days.get(day, (low, high))[0]), high
    return days


def _round(
    model: "Model",
    span: tuple[Any, Any],
    reach: tuple[int, int],
    days: Days,
    edges: dict[int, tuple[Any, Any]],
    used: Any = None,
) -> None:
    """The edges of each day reach round a piece of work, if it is there at all."""
    cp, (start, end) = model.cp, span
    close = {day: high for day, (low, high) in days.items() if low < reach[1] and high > reach[0]}
    begun = _on(cp, start, {day: days[day] for day in close}, used)
    done = _on(cp, end, {day: (days[day][0] + 1, days[day][1] + 1) for day in close}, used)
    there = [] if used is None else [used]
    for day, (first, last) in ((day, edges[day]) for day in close):
        low, high = days[day]
        cp.add(first <= start).only_enforce_if(begun[day], *there)
        cp.add(last >= end).only_enforce_if(done[day], *there)
        cp.add(last >= high).only_enforce_if(begun[day], ~done[day], *there)
        cp.add(first <= low).only_enforce_if(done[day], ~begun[day], *there)
        for before in close:
            for after in close:
                if before < day < after:
                    both = (begun[before], done[after], *there)
                    cp.add(last - first >= high - low).only_enforce_if(*both)


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
