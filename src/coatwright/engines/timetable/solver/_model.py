"""The constraint model: a problem, or the free part of one, as OR-Tools CP-SAT takes it.

A task that may be split has as many lengths as the closed times it can straddle; each length has
a literal and its own set of starts. A pot is an interval of its own; a task's pot starts at a time
that is a variable of the task, equal to the start of the pot it is given, so that pot life is a
plain lag that always holds rather than one that waits for a choice.

Part of a timetable may be kept: what starts before a moment stays where it is; the rest keeps its
order on people and tools, its people and its pots; only the free tasks are arranged anew.
"""

from collections.abc import Iterable, Mapping, Sequence
from dataclasses import dataclass, field
from itertools import pairwise
from typing import Any, Final, NamedTuple

import numpy as np
from ortools.sat.python import cp_model

from coatwright.engines.timetable.problem import NEVER, Measure, Tool
from coatwright.engines.timetable.solver._compiled import Bar, Compiled, Flag, Int, Option, Standing
from coatwright.engines.timetable.solver._layout import STOOD, Layout, Potful, neighbours
from coatwright.engines.timetable.solver._manned import manned
from coatwright.engines.timetable.solver._reach import Reach, tails

Expression = Any
"""A variable, an affine expression of one, or a whole number, as CP-SAT takes it."""

SHIFT: Final = 240
"""How much sooner than it was a kept task may start [-]."""


class Keep(NamedTuple):
    """What is kept of a timetable: all but the free tasks; what starts before `since` stays put.

    still: all that is kept stays put.
    """

    layout: Layout
    free: frozenset[int]
    since: int
    still: bool = False

    def holds(self, start: int) -> bool:
        """Whether what is kept and starts then stays put."""
        return self.still or start < self.since


class Frame(NamedTuple):
    """What a model is built for: reach of the starts, pots of each paint, weights of the measures.

    pots: least and most of each paint. wanted: where starts were before (-1: anywhere); until: all
    must be done by then; caps: weighed measures that may not be exceeded; early: of plans that are
    worth as much, that in which the starts together come sooner.
    """

    spread: Reach
    pots: tuple[tuple[int, int], ...]
    weights: Measure
    until: int
    wanted: Sequence[int] = ()
    caps: tuple[tuple[Measure, int], ...] = ()
    keep: Keep | None = None
    early: bool = False


@dataclass(frozen=True, slots=True)
class Sizes:
    """Start, end and length of one task; whole numbers if it stays put."""

    start: Expression
    end: Expression
    size: Expression

    @property
    def put(self) -> bool:
        """Whether it stays put."""
        return isinstance(self.start, int)


@dataclass(slots=True)
class Mixed:
    """A pot that may be mixed: literal of being used (None: always), who, and whom it serves.

    takes: for each task the literal of being served by it, or None if it always is. standing: it
    was mixed before the timetable began.
    """

    pot: int
    start: Expression
    used: Any
    options: list[tuple[int, Any]] = field(default_factory=list)
    takes: dict[int, Any] = field(default_factory=dict)
    number: int = -1
    standing: Standing | None = None


@dataclass
class Model:
    """A CP-SAT model with its variables by task and pot."""

    cp: cp_model.CpModel
    made: Compiled
    frame: Frame
    tasks: list[Sizes] = field(default_factory=list)
    options: list[list[tuple[int, Any]]] = field(default_factory=list)
    mixes: list[Mixed] = field(default_factory=list)
    pools: list[tuple[list[Any], list[int]]] = field(default_factory=list)

    def free(self, task: int) -> bool:
        """Whether a task is arranged anew."""
        return self.frame.keep is None or task in self.frame.keep.free


def model_of(made: Compiled, frame: Frame) -> Model:
    """The problem as a model that makes the weighed measures least."""
    model = Model(cp_model.CpModel(), made, frame)
    model.pools = [([], []) for _ in made.groups]
    for i, options in enumerate(made.options):
        model.tasks.append(_sizes(model, i))
        model.options.append(_who(model, model.tasks[i], _numbered(model, i, options), None))
    _mixes(model)
    _people(model)
    _lags(model)
    _tools(model)
    _bars(model)
    if frame.keep is not None:
        _order(model, frame.keep.layout)
    _objective(model)
    return model


def domain_of(values: Int) -> cp_model.Domain:
    """A set of whole numbers in order."""
    return cp_model.Domain.from_intervals([[a, b - 1] for a, b in stretches(values)])


def stretches(values: Int) -> list[tuple[int, int]]:
    """Runs of consecutive numbers, each from its first to just past its last."""
    if len(values) == 0:
        return []
    breaks = np.flatnonzero(np.diff(values) > 1)
    first = values[np.concatenate([[0], breaks + 1])]
    last = values[np.concatenate([breaks, [len(values) - 1]])]
    return [(int(a), int(b) + 1) for a, b in zip(first, last, strict=True)]


def _allowed(model: Model, task: int) -> Flag:
    """Starts a task may take, by index of the open ticks."""
    made, frame = model.made, model.frame
    low, high = frame.spread.earliest[task], frame.spread.latest[task]
    if frame.keep is not None:
        low = max(low, frame.keep.since)
        if not model.free(task) and not frame.weights.manned:
            old = frame.keep.layout.starts[task]
            low, high = max(low, old - SHIFT), min(high, old)
    return made.can_start[task] & (made.clock >= low) & (made.clock <= high)


def _sizes(model: Model, task: int) -> Sizes:
    made, frame, cp = model.made, model.frame, model.cp
    keep = frame.keep
    if keep is not None and task not in keep.free and keep.holds(keep.layout.starts[task]):
        old = keep.layout.starts[task]
        return Sizes(old, made.end_of(task, old), made.end_of(task, old) - old)
    allowed = _allowed(model, task)
    start = cp.new_int_var_from_domain(domain_of(made.clock[allowed]), f"s{task}")
    spans = made.ends[task] - made.clock
    split = made.problem.tasks[task].split
    lengths = sorted({int(span) for span in spans[allowed]}) if split else []
    if len(lengths) <= 1:
        work = lengths[0] if lengths else made.problem.tasks[task].work
        return Sizes(start, start + work, work)
    size = cp.new_int_var_from_domain(cp_model.Domain.from_values(lengths), f"l{task}")
    end = cp.new_int_var(0, frame.until, f"e{task}")
    literals = [cp.new_bool_var("") for _ in lengths]
    cp.add_exactly_one(literals)
    for literal, length in zip(literals, lengths, strict=True):
        domain = domain_of(made.clock[allowed & (spans == length)])
        cp.add(size == length).only_enforce_if(literal)
        cp.add_linear_expression_in_domain(start, domain).only_enforce_if(literal)
    cp.add(start + size == end)
    return Sizes(start, end, size)


def _numbered(model: Model, task: int, options: Iterable[Option]) -> list[tuple[int, Option]]:
    """The options open to a task with their numbers; a kept task keeps its own."""
    every = list(enumerate(options))
    keep = model.frame.keep
    return every if keep is None or model.free(task) else [every[keep.layout.options[task]]]


def _who(
    model: Model, sizes: Sizes, options: Sequence[tuple[int, Option]], present: Any
) -> list[tuple[int, Any]]:
    """Let one of the options do it, if it is present at all; a literal for each option."""
    cp, keep = model.cp, model.frame.keep
    literals: list[Any] = [present]
    if len(options) > 1:
        literals = [cp.new_bool_var("") for _ in options]
        if present is None:
            cp.add_exactly_one(literals)
        else:
            cp.add(sum(literals) == present)
    if not (keep and sizes.put and sizes.end <= keep.since):
        for (_, option), literal in zip(options, literals, strict=True):
            for pool, count in option:
                model.pools[pool][0].append(_interval(cp, sizes, literal))
                model.pools[pool][1].append(count)
    return [(number, lit) for (number, _), lit in zip(options, literals, strict=True)]


def _interval(cp: cp_model.CpModel, sizes: Sizes, literal: Any) -> Any:
    if literal is None:
        return cp.new_interval_var(sizes.start, sizes.size, sizes.end, "")
    return cp.new_optional_interval_var(sizes.start, sizes.size, sizes.end, literal, "")


def _people(model: Model) -> None:
    for group, (intervals, counts) in zip(model.made.groups, model.pools, strict=True):
        many = len(group.members)
        for low, high in stretches(model.made.clock[~group.there]):
            intervals.append(model.cp.new_fixed_size_interval_var(low, high - low, ""))
            counts.append(many)
        if many == 1:
            model.cp.add_no_overlap(intervals)
        elif intervals:
            model.cp.add_cumulative(intervals, counts, many)


def _lags(model: Model) -> None:
    for arc in model.made.arcs:
        before, after = model.tasks[arc.before], model.tasks[arc.after]
        if before.put and after.put:
            continue
        left = before.start if arc.leaves == "start" else before.end
        right = after.start if arc.reaches == "start" else after.end
        if arc.least is not None:
            model.cp.add(right - left >= arc.least)
        if arc.most is not None:
            model.cp.add(right - left <= arc.most)


def _tools(model: Model) -> None:
    made, cp, keep = model.made, model.cp, model.frame.keep
    held = {hold.tool for hold in made.holds}
    for tool in made.problem.tools:
        users = [i for i, task in enumerate(made.problem.tasks) if tool.key in task.tools]
        if keep is not None:
            users = [i for i in users if not (_done(model.tasks[i], keep.since))]
        if tool.key in held:
            spans = [_hold(model, h.tasks) for h in made.holds if h.tool == tool.key]
            cp.add_cumulative(spans, [1] * len(spans), tool.count)
        elif tool.count == 1:
            cp.add_no_overlap([_interval(cp, model.tasks[i], None) for i in users])
        elif len(users) > tool.count:
            intervals = [_interval(cp, model.tasks[i], None) for i in users]
            cp.add_cumulative(intervals, [1] * len(users), tool.count)
        if tool.count > 1 and tool.cleaning and tool.key not in held:
            _one_by_one(model, tool, users)


def _one_by_one(model: Model, tool: Tool, users: Sequence[int]) -> None:
    """Which task uses which of several tools, where they are cleaned apart."""
    cp = model.cp
    which = {i: [cp.new_bool_var("") for _ in range(tool.count)] for i in users}
    for literals in which.values():
        cp.add_exactly_one(literals)
    for number in range(tool.count):
        cp.add_no_overlap([_interval(cp, model.tasks[i], which[i][number]) for i in users])
    for i in users:
        for bar in model.made.bars[i]:
            if bar.tool == tool.key and bar.other > i and bar.other in which:
                for one, other in zip(which[i], which[bar.other], strict=True):
                    _bar(model, i, bar, [one, other])


def _done(sizes: Sizes, since: int) -> bool:
    return sizes.put and bool(sizes.end <= since)


def _hold(model: Model, tasks: Sequence[int]) -> Any:
    """From the start of the first of these tasks to the end of the last."""
    if len(tasks) == 1:
        return _interval(model.cp, model.tasks[tasks[0]], None)
    top = int(model.made.clock[-1]) + 1
    low, high = model.cp.new_int_var(0, top, ""), model.cp.new_int_var(0, top, "")
    size = model.cp.new_int_var(0, top, "")
    for i in tasks:
        model.cp.add(low <= model.tasks[i].start)
        model.cp.add(high >= model.tasks[i].end)
    return model.cp.new_interval_var(low, size, high, "")


def _bars(model: Model) -> None:
    """Two tasks that may not overlap: one of two orders, each with its gap."""
    for i, bars in enumerate(model.made.bars):
        for bar in bars:
            settled = model.tasks[i].put and model.tasks[bar.other].put
            if bar.other > i and not settled and not bar.tool:
                _bar(model, i, bar, [])


def _bar(model: Model, task: int, bar: Bar, given: list[Any]) -> None:
    """The two orders of a pair, if what is given holds."""
    made, spread, keep = model.made, model.frame.spread, model.frame.keep
    one, other = model.tasks[task], model.tasks[bar.other]
    lead = made.end_of(task, spread.earliest[task]) + bar.after_this
    follow = made.end_of(bar.other, spread.earliest[bar.other]) + bar.after_other
    leads: Any = lead <= spread.latest[bar.other]
    follows: Any = follow <= spread.latest[task]
    if keep is not None and not model.free(task) and not model.free(bar.other):
        leads = keep.layout.starts[task] < keep.layout.starts[bar.other]
        follows = not leads
    first = other.start >= one.end + bar.after_this
    second = one.start >= other.end + bar.after_other
    if leads and follows:
        literal = model.cp.new_bool_var("")
        model.cp.add(first).only_enforce_if(literal, *given)
        model.cp.add(second).only_enforce_if(~literal, *given)
    elif leads or follows:
        model.cp.add(first if leads else second).only_enforce_if(*given)
    else:
        model.cp.add_bool_or([~literal for literal in given])


def _order(model: Model, layout: Layout) -> None:
    """Kept tasks and mixes follow each other as they did."""
    kept: dict[tuple[str, int], Sizes] = {
        ("task", i): sizes
        for i, sizes in enumerate(model.tasks)
        if not sizes.put and not model.free(i)
    }
    for mix in model.mixes:
        if mix.used is None and mix.number >= 0 and not isinstance(mix.start, int):
            mixing = model.made.problem.pots[mix.pot].mixing
            kept["mix", mix.number] = Sizes(mix.start, mix.start + mixing, mixing)
    for before, after in neighbours(model.made, layout):
        if before in kept and after in kept:
            model.cp.add(kept[after].start >= kept[before].end)


def _mixes(model: Model) -> None:
    """Every pot there is or may be, with who mixes it and whom it serves."""
    keep = model.frame.keep
    for number in range(len(model.made.pots)):
        mixes = _fresh(model, number) if keep is None else _kept(model, number, keep)
        for mix in mixes:
            if mix.standing is None:
                _mixing(model, mix, keep)
        _serve(model, number, mixes)
        model.mixes += mixes


def _mixable(model: Model, number: int, low: int = 0) -> Int:
    """When a pot can be mixed without the shop closing."""
    clock, mixing = model.made.clock, model.made.problem.pots[number].mixing
    count = max(len(clock) - mixing + 1, 0)
    whole = clock[mixing - 1 :][:count] - clock[:count] == mixing - 1
    starts: Int = clock[:count][whole]
    return starts[starts >= low]


def _fresh(model: Model, number: int) -> list[Mixed]:
    """As many pots as there may be, in the order of mixing, those that are needed first."""
    least, most = model.frame.pots[number]
    domain = domain_of(_mixable(model, number))
    items = model.made.pots[number].amount
    standing = [
        Mixed(
            number,
            pot.start,
            None,
            takes={task: model.cp.new_bool_var("") for task in items},
            standing=pot,
        )
        for pot in model.made.standing
        if pot.pot == number
    ]
    mixes = [
        Mixed(
            number,
            model.cp.new_int_var_from_domain(domain, f"p{number}.{k}"),
            None if k < least else model.cp.new_bool_var(""),
            takes={task: model.cp.new_bool_var("") for task in items},
        )
        for k in range(most)
    ]
    for one, following in pairwise(mixes):
        model.cp.add(one.start <= following.start)
        if one.used is not None:
            model.cp.add_implication(following.used, one.used)
    return standing + mixes


def _kept(model: Model, number: int, keep: Keep) -> list[Mixed]:
    """The pots of a timetable: open to free tasks if they served one, and one pot to spare."""
    mine = [(n, mix) for n, mix in enumerate(keep.layout.mixes) if mix.pot == number]
    mixes = [_potful(model, n, mix, keep) for n, mix in mine if mix.option != STOOD]
    opened = [mix for mix in mixes if mix.used is not None]
    standing = _still_standing(model, number, keep)
    if opened or any(task in keep.free for mix in standing for task in mix.takes):
        domain = domain_of(_mixable(model, number, keep.since))
        spare = model.cp.new_int_var_from_domain(domain, "")
        opened.append(Mixed(number, spare, model.cp.new_bool_var("")))
        mixes.append(opened[-1])
        opened += standing
    mixes += standing
    every = {task for mix in opened for task in mix.takes if task in keep.free}
    for mix in opened:
        mix.takes |= {task: model.cp.new_bool_var("") for task in sorted(every)}
    return mixes


def _still_standing(model: Model, number: int, keep: Keep) -> list[Mixed]:
    """The pots that stood there already, with whom they serve."""
    serves = {(mix.pot, mix.start): mix.serves for mix in keep.layout.mixes if mix.option == STOOD}
    return [
        Mixed(
            number,
            pot.start,
            None,
            takes=dict.fromkeys(serves.get((number, pot.start), ())),
            standing=pot,
        )
        for pot in model.made.standing
        if pot.pot == number
    ]


def _potful(model: Model, number: int, mix: Potful, keep: Keep) -> Mixed:
    cp, takes = model.cp, dict.fromkeys(mix.serves)
    if any(task in keep.free for task in mix.serves):
        low = min(mix.start, keep.since)
        start: Any = cp.new_int_var_from_domain(domain_of(_mixable(model, mix.pot, low)), "")
        return Mixed(mix.pot, start, cp.new_bool_var(""), takes=takes, number=number)
    if keep.holds(mix.start):
        start = mix.start
    else:
        starts = _mixable(model, mix.pot, keep.since)
        if not model.frame.weights.manned:
            starts = starts[starts <= mix.start]
        start = cp.new_int_var_from_domain(domain_of(starts), "")
    return Mixed(mix.pot, start, None, takes=takes, number=number)


def _mixing(model: Model, mix: Mixed, keep: Keep | None) -> None:
    """Who mixes it; a kept pot is mixed by whom it was."""
    mixing = model.made.problem.pots[mix.pot].mixing
    options = list(enumerate(model.made.pots[mix.pot].options))
    if keep is not None and mix.used is None:
        options = [options[keep.layout.mixes[mix.number].option]]
    mix.options = _who(model, Sizes(mix.start, mix.start + mixing, mixing), options, mix.used)


def _serve(model: Model, number: int, mixes: Sequence[Mixed]) -> None:
    """Each task has one pot, ripe before it and alive to its end; no pot gives more than it has."""
    cp, pot, amount = model.cp, model.made.problem.pots[number], model.made.pots[number].amount
    mixed: dict[int, Any] = {}
    for task in amount:
        takers = [mix for mix in mixes if task in mix.takes]
        if len(takers) == 1 and takers[0].takes[task] is None:
            _served(model, task, takers[0])
        else:
            mixed[task] = _chosen_pot(model, task, takers)
    if model.frame.keep is None:
        _in_turn(model, amount, mixed)
        _spent_alive(model, number, mixes)
    for mix in mixes:
        if any(literal is not None for literal in mix.takes.values()):
            sure = sum(amount[i] for i, literal in mix.takes.items() if literal is None)
            maybe = [amount[i] * lit for i, lit in mix.takes.items() if lit is not None]
            left = pot.capacity if mix.standing is None else mix.standing.left
            cp.add(sum(maybe) + sure <= left)


def _served(model: Model, task: int, mix: Mixed) -> None:
    """A task takes from this pot."""
    pot, sizes = model.made.problem.pots[mix.pot], model.tasks[task]
    if mix.used is not None:
        model.cp.add(mix.used == 1)
    if not (sizes.put and isinstance(mix.start, int)):
        ripe = mix.start + pot.mixing if mix.standing is None else mix.standing.end
        model.cp.add(sizes.start >= ripe + pot.stand)
        model.cp.add(sizes.end <= mix.start + pot.life)


def _in_turn(model: Model, amount: Mapping[int, int], mixed: Mapping[int, Any]) -> None:
    """Of two tasks that take as much, the earlier takes from the older pot: they could swap."""
    for task in mixed:
        for arc in model.made.out[task]:
            other = arc.after
            sooner = arc.least is not None and arc.least >= 0 and arc.leaves == "end"
            if sooner and arc.reaches == "start" and amount.get(other) == amount[task]:
                model.cp.add(mixed[task] <= mixed[other])


def _spent_alive(model: Model, number: int, mixes: Sequence[Mixed]) -> None:
    """What a pot serves on one tool fits one after another into its life."""
    made, pot = model.made, model.made.problem.pots[number]
    for tool in made.problem.tools:
        work = {
            task: made.problem.tasks[task].work
            for task in made.pots[number].amount
            if tool.key in made.problem.tasks[task].tools
        }
        for mix in mixes if tool.count == 1 else ():
            if mix.standing is None and len(work) > 1:
                spent = sum(work[i] * mix.takes[i] for i in work if i in mix.takes)
                model.cp.add(spent <= pot.life - pot.mixing - pot.stand)


def _chosen_pot(model: Model, task: int, takers: Sequence[Mixed]) -> Any:
    """A task takes from one of these pots: when that was mixed is a variable of the task."""
    cp, sizes = model.cp, model.tasks[task]
    cp.add_exactly_one([mix.takes[task] for mix in takers])
    pot = model.made.problem.pots[takers[0].pot]
    mixed = cp.new_int_var(-pot.life - pot.mixing - pot.stand, int(model.made.clock[-1]), "")
    cp.add(sizes.start >= mixed + pot.mixing + pot.stand)
    cp.add(sizes.end <= mixed + pot.life)
    for mix in takers:
        literal = mix.takes[task]
        if mix.used is not None:
            cp.add_implication(literal, mix.used)
        if mix.standing is None:
            cp.add(mixed == mix.start).only_enforce_if(literal)
        else:
            cp.add(sizes.start >= mix.standing.end + pot.stand).only_enforce_if(literal)
            cp.add(sizes.end <= mix.standing.start + pot.life).only_enforce_if(literal)
    return mixed


def _objective(model: Model) -> None:
    frame = model.frame
    wanted = [frame.weights, *(weights for weights, _ in frame.caps)]
    asked = Measure(*(sum(column) for column in zip(*wanted, strict=True)))
    measures = Measure(
        _days(model) if asked.days else 0,
        manned(model) if asked.manned else 0,
        _end(model) if asked.end else 0,
        _count(model) if asked.mixes else 0,
        _moved(model) if asked.moved else 0,
    )
    for weights, most in frame.caps:
        if any(weights):
            model.cp.add(measures.weighed(weights) <= most)
    if any(frame.weights):
        worth = measures.weighed(frame.weights)
        model.cp.minimize(_sooner(model, worth) if frame.early else worth)


def _sooner(model: Model, worth: Any) -> Any:
    """The worth first, then the sum of the starts."""
    starts = [sizes.start for sizes in model.tasks if not sizes.put]
    return worth * (len(starts) * model.frame.until + 1) + sum(starts)


def _days(model: Model) -> Any:
    day = model.made.problem.day
    days = model.cp.new_int_var(1, (model.frame.until - 1) // day + 1, "days")
    model.cp.add(day * days >= _end(model))
    return days


def _end(model: Model) -> Any:
    end = model.cp.new_int_var(0, model.frame.until, "end")
    for sizes, tail in zip(model.tasks, tails(model.made), strict=True):
        model.cp.add(end >= sizes.end + tail)
    return end


def _count(model: Model) -> Any:
    always = sum(mix.used is None and mix.standing is None for mix in model.mixes)
    return sum(mix.used for mix in model.mixes if mix.used is not None) + always


def _moved(model: Model) -> Any:
    total: list[Any] = [0]
    for sizes, wanted in zip(model.tasks, model.frame.wanted, strict=True):
        if wanted >= 0:
            by = model.cp.new_int_var(0, NEVER, "")
            model.cp.add(by >= sizes.start - wanted)
            model.cp.add(by >= wanted - sizes.start)
            total.append(by)
    return sum(total)


def hint(model: Model, layout: Layout) -> None:
    """Tell the solver of a timetable to start from."""
    cp = model.cp
    for sizes, options, start, number in zip(
        model.tasks, model.options, layout.starts, layout.options, strict=True
    ):
        if not sizes.put:
            cp.add_hint(sizes.start, start)
        for option, literal in options:
            if literal is not None:
                cp.add_hint(literal, option == number)
    for pot in range(len(model.made.pots)):
        for mix, known in _paired(model, layout, pot):
            _hint_mix(cp, mix, known)


def _paired(model: Model, layout: Layout, pot: int) -> list[tuple[Mixed, Potful | None]]:
    """Each pot of the model with the one of the layout it stands for."""
    mine = {n: mix for n, mix in enumerate(layout.mixes) if mix.pot == pot}
    stood = {mix.start: mix for mix in mine.values() if mix.option == STOOD}
    fresh = iter([mix for mix in mine.values() if mix.option != STOOD])
    pairs: list[tuple[Mixed, Potful | None]] = []
    for mix in model.mixes:
        if mix.pot != pot:
            continue
        if mix.standing is not None:
            pairs.append((mix, stood.get(mix.standing.start)))
        elif mix.number >= 0 or model.frame.keep is not None:
            pairs.append((mix, mine.get(mix.number)))
        else:
            pairs.append((mix, next(fresh, None)))
    return pairs


def _hint_mix(cp: cp_model.CpModel, mix: Mixed, known: Potful | None) -> None:
    if mix.used is not None:
        cp.add_hint(mix.used, known is not None)
    if known is not None and not isinstance(mix.start, int):
        cp.add_hint(mix.start, known.start)
    for number, literal in mix.options:
        if literal is not None and literal is not mix.used:
            cp.add_hint(literal, known is not None and known.option == number)
    for task, literal in mix.takes.items():
        if literal is not None:
            cp.add_hint(literal, known is not None and task in known.serves)


def read(model: Model, solver: cp_model.CpSolver) -> Layout:
    """The timetable the solver found."""
    starts = tuple(s.start if s.put else solver.value(s.start) for s in model.tasks)
    options = tuple(_chosen(solver, options) for options in model.options)
    mixes = []
    for mix in model.mixes:
        if mix.used is None or solver.boolean_value(mix.used):
            takes = sorted(mix.takes.items())
            serves = tuple(i for i, lit in takes if lit is None or solver.boolean_value(lit))
            start = mix.start if isinstance(mix.start, int) else solver.value(mix.start)
            number = STOOD if mix.standing else _chosen(solver, mix.options)
            if serves:
                mixes.append(Potful(mix.pot, start, number, serves))
    return Layout(starts, options, tuple(sorted(mixes, key=lambda m: (m.start, m.pot, m.serves))))


def _chosen(solver: cp_model.CpSolver, options: Sequence[tuple[int, Any]]) -> int:
    return next(n for n, literal in options if literal is None or solver.boolean_value(literal))
