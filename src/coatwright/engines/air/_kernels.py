"""Compiled kernels: the line at one moment, and the receiver through a programme.

The line is marched from the holes of the air cap upstream: at every part the pressure before it
follows in closed form from the pressure after it and the flow, so that one unknown, the pressure
behind the holes, gives all the others, and every pressure rises with it.

The air in the receiver is an ideal gas with a mass and an energy, so that mass and heat are both
kept. Dormand and Prince's pair of orders 5 and 4 steps it; wherever a switch acts (pump starts or
stops, regulator lost or found again, a limit of the caller's reached) the step is cut there, so
that no step crosses a kink.
"""

import math
from typing import Final

import numpy as np

from coatwright.engines._compiling import inside, kernel
from coatwright.engines.air._records import (
    Cap,
    Float,
    Hose,
    Kit,
    Limits,
    Line,
    March,
    Mode,
    Outcome,
    Programme,
    Pump,
    ReceiverState,
    Restriction,
)
from coatwright.engines.constants import ATMOSPHERE, GAS

AIR_GAS: Final = GAS / 0.0289652
"""Specific gas constant of dry air [J/(kg K)]; molar mass 28.9652 g/mol (CIPM-2007)."""

HEAT_VOLUME: Final = 2.5 * AIR_GAS
HEAT_PRESSURE: Final = 3.5 * AIR_GAS
"""Heat capacities of a diatomic ideal gas [J/(kg K)]: their ratio is 1.4."""

REFERENCE_DENSITY: Final = 1.185
"""Density of the reference air of ISO 6358 [kg/m3] (20 degC, 100 kPa, 65 % humidity)."""

REFERENCE_TEMPERATURE: Final = 293.15
"""Temperature of the reference air of ISO 6358 [K]."""

_EXPANDING: Final = 1.0 / 1.3

AT_RECEIVER: Final = 0.0
AT_SETTING: Final = 1.0
AT_GUN: Final = 2.0
"""Which pressure of the line a target is meant for: the receiver's, the regulator's setting, the
gun's inlet."""

END_PRESSURE: Final = 0
END_TEMPERATURE: Final = 1
LOWEST_GUN: Final = 2
MEAN_GUN: Final = 3
USED: Final = 4
DELIVERED: Final = 5
PUMPED: Final = 6
SECONDS: Final = 7
COLUMNS: Final = 8
"""Columns of the table of phases."""

TRACE: Final = 5
"""Columns of the trace: time, receiver, its temperature, gun (nan when shut), pump runs."""

_TIME, _NEXT, _WARMTH, _WARMEST, _PUMPS, _COUNT, _ROWS, _STOPPED = 0, 1, 2, 3, 4, 5, 6, 7
_MASS, _ENERGY, _USED, _DELIVERED, _GUN = 0, 1, 2, 3, 4
_SIZE: Final = 5
_STARVED: Final = 5e4
_STEPS: Final = 1_000_000
_SHORTEST: Final = 1e-9
_CLOSE: Final = 4e-11


@kernel
def through(part: Restriction, upstream: float, downstream: float, temperature: float) -> float:
    """Mass flow through a part [kg/s]."""
    if downstream >= upstream:
        return 0.0
    flow = part.conductance * REFERENCE_DENSITY * upstream
    flow *= math.sqrt(REFERENCE_TEMPERATURE / temperature)
    share = downstream / upstream
    if share > part.ratio:
        flow *= math.sqrt(max(0.0, 1.0 - ((share - part.ratio) / (1.0 - part.ratio)) ** 2))
    return flow


@kernel
def before(part: Restriction, downstream: float, flow: float, temperature: float) -> float:
    """Pressure before a part that passes `flow` to `downstream`: the root of a quadratic."""
    if flow <= 0.0 or part.conductance == math.inf:
        return downstream
    scale = part.conductance * REFERENCE_DENSITY
    choked = flow / (scale * math.sqrt(REFERENCE_TEMPERATURE / temperature))
    if downstream <= part.ratio * choked:
        return choked
    b = part.ratio
    c = downstream * downstream + ((1.0 - b) * choked) ** 2
    return c / (b * downstream + math.sqrt(b * b * downstream * downstream + (1.0 - 2.0 * b) * c))


@kernel
def viscosity(temperature: float) -> float:
    """Dynamic viscosity of air [Pa s]: Sutherland's formula as in the US Standard Atmosphere."""
    return 1.458e-6 * temperature * math.sqrt(temperature) / (temperature + 110.4)


@kernel
def friction(reynolds: float) -> float:
    """Darcy friction factor of a smooth bore: laminar, turbulent (Prandtl), and between them."""
    if reynolds < 2000.0:
        return 64.0 / reynolds
    turbulent = max(reynolds, 4000.0)
    y = -1.8 * math.log10(6.9 / turbulent)
    for _ in range(2):  # from 1.5 % to 1e-12: nearly a straight line
        y -= (y + 2.0 * math.log10(2.51 * y / turbulent)) / (1.0 + 0.8685889638065037 / y)
    smooth = 1.0 / (y * y)
    if reynolds >= 4000.0:
        return smooth
    return 0.032 + (smooth - 0.032) * (reynolds - 2000.0) / 2000.0


@kernel
def along(hose: Hose, downstream: float, flow: float, temperature: float) -> float:
    """Pressure at the inlet of a bare hose; of a choked one, whatever lies behind it."""
    if flow <= 0.0 or hose.length <= 0.0:
        return downstream
    area = 0.25 * math.pi * hose.bore * hose.bore
    reynolds = hose.bore * flow / (area * viscosity(temperature))
    resistance = hose.friction * friction(reynolds) * hose.length / hose.bore
    return isothermal(resistance, flow / area, downstream, temperature)


@kernel
def choking(flux: float, temperature: float) -> float:
    """Lowest pressure at which isothermal air can carry a flux [kg/(m2 s)]."""
    return flux * math.sqrt(AIR_GAS * temperature)


@kernel
def isothermal(resistance: float, flux: float, downstream: float, temperature: float) -> float:
    """Pressure before a passage of f L / d = resistance that carries flux [kg/(m2 s)].

    With x the ratio of the pressures and g = flux^2 R T / downstream^2: x^2 = 1 + g (f L / d +
    2 ln x). The end of the passage is never below the pressure at which it chokes (g = 1).
    """
    downstream = max(downstream, choking(flux, temperature))
    g = flux * flux * AIR_GAS * temperature / (downstream * downstream)
    x = math.sqrt(1.0 + g * resistance)
    for _ in range(50):
        step = (x * x - 1.0 - g * (resistance + 2.0 * math.log(x))) / (2.0 * x - 2.0 * g / x)
        x -= step
        if abs(step) <= 1e-9 * x:  # squared in the step just taken
            break
    return downstream * x


@kernel
def march(line: Line, cap: Cap, behind: float) -> March:
    """The whole line from the pressure behind the cap's holes, upstream."""
    heat = line.temperature
    flow = through(cap.holes, behind, ATMOSPHERE, heat)
    gun = before(cap.body, behind, flow, heat)
    if line.regulator.at_gun:
        passed = before(line.regulator.open, gun, flow, heat)
        receiver = before(line.filter, _hosed(line, passed, flow), flow, heat)
        return March(flow, gun, gun, receiver)
    regulated = _hosed(line, gun, flow)
    passed = before(line.regulator.open, regulated, flow, heat)
    return March(flow, gun, regulated, before(line.filter, passed, flow, heat))


@inside
def _hosed(line: Line, downstream: float, flow: float) -> float:
    """Pressure before the hose and the fittings at its ends."""
    hose, heat = line.hose, line.temperature
    end = before(hose.outlet, downstream, flow, heat)
    return before(hose.inlet, along(hose, end, flow, heat), flow, heat)


@inside
def _wanting(line: Line, cap: Cap, behind: float, what: float) -> float:
    """The pressure that grows to a target: see AT_RECEIVER and its like."""
    at = march(line, cap, behind)
    if what == AT_RECEIVER:
        return at.receiver
    if what == AT_SETTING:
        return at.regulated + line.regulator.droop * at.flow
    return at.gun


@kernel
def behind_holes(line: Line, cap: Cap, target: float, what: float) -> float:
    """Pressure behind the holes at which one pressure of the line is `target`.

    False position (Illinois), then bisection if that has not done.
    """
    low, high = ATMOSPHERE, target
    if target <= ATMOSPHERE:
        return ATMOSPHERE
    f_low = _wanting(line, cap, low, what) - target
    f_high = _wanting(line, cap, high, what) - target
    side = 0
    for turn in range(200):
        if turn > 60:
            middle = 0.5 * (low + high)
        else:
            middle = (low * f_high - high * f_low) / (f_high - f_low)
        found = _wanting(line, cap, middle, what) - target
        if abs(found) <= 1e-13 * target or high - low <= 1e-13 * target:
            return middle
        if found > 0.0:
            high, f_high = middle, found
            f_low *= 0.5 if side == 1 else 1.0
            side = 1
        else:
            low, f_low = middle, found
            f_high *= 0.5 if side == -1 else 1.0
            side = -1
    return 0.5 * (low + high)


@kernel
def settle(line: Line, cap: Cap, receiver: float) -> March:
    """The line with the trigger pulled and so much in the receiver.

    The regulator holds its setting less droop, but cannot hold more than comes through it.
    """
    at = march(line, cap, behind_holes(line, cap, line.regulator.setting, AT_SETTING))
    if at.receiver <= receiver:
        return at
    return march(line, cap, behind_holes(line, cap, receiver, AT_RECEIVER))


@kernel
def delivered(pump: Pump, pressure: float, intake: float) -> float:
    """Mass a running pump delivers [kg/s]: re-expansion from its clearance lessens it."""
    full = pump.delivery * ATMOSPHERE / (AIR_GAS * intake)
    if pump.clearance == 0.0:
        return full
    now = 1.0 + pump.clearance - pump.clearance * math.pow(pressure / ATMOSPHERE, _EXPANDING)
    then = 1.0 + pump.clearance - pump.clearance * math.pow(pump.reference / ATMOSPHERE, _EXPANDING)
    return full * max(0.0, now) / then


@inside
def _pressure(y: Float, kit: Kit) -> float:
    pressure: float = 0.4 * y[_ENERGY] / kit.receiver.volume
    return pressure


@inside
def _temperature(y: Float) -> float:
    temperature: float = y[_ENERGY] / (y[_MASS] * HEAT_VOLUME)
    return temperature


@inside
def _fed(y: Float, mode: Mode, kit: Kit) -> tuple[float, float]:
    """Flow through the gun [kg/s] and the pressure at its inlet (nan with the trigger released)."""
    if not mode.pulled:
        return 0.0, math.nan
    if mode.regulated:
        return mode.held.flow, mode.held.gun
    at = _followed(mode, kit.line, _pressure(y, kit))
    return at.flow, at.gun


@inside
def _followed(mode: Mode, line: Line, receiver: float) -> March:
    """The line wide open, by the secant from the last moment solved; else from nothing."""
    near = mode.near
    slope = near[2]
    behind = near[1] + slope * (receiver - near[0])
    before, f_before = 0.0, 0.0
    for turn in range(8):
        if not ATMOSPHERE < behind < receiver:
            break
        at = march(line, mode.cap, behind)
        f = at.receiver - receiver
        if turn > 0 and f != f_before:
            slope = (behind - before) / (f - f_before)
        if abs(f) <= 1e-12 * receiver:
            near[0], near[1], near[2] = receiver, behind, slope
            return at
        before, f_before = behind, f
        behind -= f * slope
    behind = behind_holes(line, mode.cap, receiver, AT_RECEIVER)
    near[0], near[1] = receiver, behind
    return march(line, mode.cap, behind)


@inside
def _rates(y: Float, mode: Mode, kit: Kit, k: Float) -> None:
    """Right-hand side: mass, energy, air used, air delivered, pressure at the gun."""
    wall = kit.receiver.temperature
    pressure = _pressure(y, kit)
    temperature = _temperature(y)
    used, gun = _fed(y, mode, kit)
    used += kit.draw * min(1.0, max(0.0, (pressure - ATMOSPHERE) / _STARVED))
    came = delivered(kit.pump, pressure, wall) if mode.pumping else 0.0
    k[_MASS] = came - used
    if kit.receiver.heat == math.inf:
        k[_ENERGY] = HEAT_VOLUME * wall * k[_MASS]
    else:
        k[_ENERGY] = HEAT_PRESSURE * (kit.pump.delivered_at * came - temperature * used)
        k[_ENERGY] += kit.receiver.heat * (wall - temperature)
    k[_USED], k[_DELIVERED] = used, came
    k[_GUN] = gun if mode.pulled else 0.0


_A = np.array(
    [
        [0, 0, 0, 0, 0, 0],
        [1 / 5, 0, 0, 0, 0, 0],
        [3 / 40, 9 / 40, 0, 0, 0, 0],
        [44 / 45, -56 / 15, 32 / 9, 0, 0, 0],
        [19372 / 6561, -25360 / 2187, 64448 / 6561, -212 / 729, 0, 0],
        [9017 / 3168, -355 / 33, 46732 / 5247, 49 / 176, -5103 / 18656, 0],
        [35 / 384, 0, 500 / 1113, 125 / 192, -2187 / 6784, 11 / 84],
    ]
)
_E = np.array(
    [71 / 57600, 0, -71 / 16695, 71 / 1920, -17253 / 339200, 22 / 525, -1 / 40]
)  # fifth-order weights less fourth-order weights


@inside
def _step(y: Float, h: float, mode: Mode, kit: Kit, work: Float, new: Float) -> float:
    """One step of size h into `new`; returns its error in mass and energy, relative."""
    # One place calls the right-hand side: what is compiled, and how long that takes, is all in it.
    for stage in range(7):
        for i in range(_SIZE):
            total = 0.0
            for j in range(stage):
                total += _A[stage, j] * work[j, i]
            new[i] = y[i] + h * total
        _rates(new, mode, kit, work[stage])
    worst = 0.0
    for i in (_MASS, _ENERGY):
        error = 0.0
        for j in range(7):
            error += _E[j] * work[j, i]
        worst = max(worst, abs(h * error / y[i]))
    return worst


@inside
def _crossed(then: float, now: float, level: float, best: float) -> float:
    """The level if it lies between and is met before the best so far; else the best so far."""
    if not min(then, now) <= level <= max(then, now) or level == then:
        return best
    if math.isnan(best) or abs(level - then) < abs(best - then):
        return level
    return best


@inside
def _next_event(then: float, now: float, mode: Mode, kit: Kit, limits: Limits) -> float:
    """The first receiver pressure between then and now at which something switches; nan if none."""
    found = math.nan
    rises = now > then
    if mode.pumping and rises:
        found = _crossed(then, now, kit.pump.cut_out, found)
    if not mode.pumping and not rises:
        found = _crossed(then, now, kit.pump.cut_in, found)
    if mode.pulled and mode.regulated != rises:
        found = _crossed(then, now, mode.held.receiver, found)
    if mode.pulled and not rises:
        found = _crossed(then, now, limits.below, found)
    if not mode.pulled and rises:
        found = _crossed(then, now, limits.above, found)
    return found


@inside
def _warmed(warmth: float, seconds: float, pumping: bool, pump: Pump) -> float:
    """Warmth of the pump after so many seconds, exactly."""
    goal = pump.warm_full if pumping else 0.0
    return goal + (warmth - goal) * math.exp(-seconds / pump.warm_time)


@inside
def _note(trace: Float, clock: Float, y: Float, mode: Mode, kit: Kit) -> float:
    """Write the moment into the trace if it has room; returns the pressure at the gun."""
    _, gun = _fed(y, mode, kit)
    rows = int(clock[_ROWS])
    if rows < trace.shape[0]:
        row = trace[rows]
        row[0], row[1], row[2] = clock[_TIME], _pressure(y, kit), _temperature(y)
        row[3], row[4] = gun, clock[_PUMPS]
        clock[_ROWS] += 1.0
    return gun


@inside
def _near(pressure: float, level: float) -> bool:
    """Whether a pressure is at a level as well as an event is found; levels may coincide."""
    return abs(pressure - level) <= _CLOSE * level


@inside
def _switched(mode: Mode, pressure: float, rises: bool, pump: Pump) -> Mode:
    """The mode after an event at that pressure, met rising or falling."""
    pumping, regulated = mode.pumping, mode.regulated
    if rises and _near(pressure, pump.cut_out):
        pumping = False
    elif not rises and _near(pressure, pump.cut_in):
        pumping = True
    if mode.pulled and _near(pressure, mode.held.receiver):
        regulated = rises
    return Mode(mode.pulled, pumping, regulated, mode.cap, mode.held, mode.near)


@inside
def _ended(mode: Mode, pressure: float, limits: Limits) -> bool:
    """Whether a limit of the caller is reached."""
    if mode.pulled:
        return pressure <= limits.below * (1.0 + _CLOSE)
    return pressure >= limits.above * (1.0 - _CLOSE)


@inside
def _advance(
    y: Float, most: float, mode: Mode, kit: Kit, limits: Limits, clock: Float, room: Float
) -> tuple[float, float]:
    """One accepted step of at most `most` seconds: its length and the event that cut it (or nan).

    Where something switches inside the step, its length is found by false position on whole steps.
    room is seven rows of work and one for the new state.
    """
    then, new = _pressure(y, kit), room[7]
    h, level, side = min(clock[_NEXT], most, limits.longest), math.nan, 0
    low, high, f_low, f_high = 0.0, 0.0, 0.0, 0.0
    for _ in range(200):
        clock[_COUNT] += 1.0
        error = _step(y, h, mode, kit, room, new)
        now = _pressure(new, kit)
        if math.isnan(level):
            grown = 5.0 if error <= 0.0 else 0.9 * (limits.tolerance / error) ** 0.2
            clock[_NEXT] = h * min(5.0, max(0.2, grown))
            if error > limits.tolerance and h > _SHORTEST:
                h = clock[_NEXT]
                continue
            level = _next_event(then, now, mode, kit, limits)
            if math.isnan(level):
                break
            high, f_low, f_high = h, then - level, now - level
        else:
            f = now - level
            if abs(f) <= 0.25 * _CLOSE * level or high - low <= _SHORTEST * 1e-3:
                break
            if (f > 0.0) == (f_high > 0.0):
                high, f_high = h, f
                f_low *= 0.5 if side == 1 else 1.0
                side = 1
            else:
                low, f_low = h, f
                f_high *= 0.5 if side == -1 else 1.0
                side = -1
        h = (low * f_high - high * f_low) / (f_high - f_low)
    for i in range(_SIZE):
        y[i] = new[i]
    clock[_TIME] += h
    clock[_WARMTH] = _warmed(clock[_WARMTH], h, mode.pumping, kit.pump)
    clock[_WARMEST] = max(clock[_WARMEST], clock[_WARMTH])
    return h, level


@inside
def _held(kit: Kit, caps: Float) -> Float:
    """For every cap the moment at which the regulator just holds its setting: a March, and what
    Mode calls near."""
    rows = np.empty((caps.shape[0], 7))
    for index in range(caps.shape[0]):
        cap = _cap(caps[index])
        behind = behind_holes(kit.line, cap, kit.line.regulator.setting, AT_SETTING)
        at = march(kit.line, cap, behind)
        row = rows[index]
        row[0], row[1], row[2], row[3] = at.flow, at.gun, at.regulated, at.receiver
        row[4], row[5] = at.receiver, behind
        row[6] = (behind - ATMOSPHERE) / (at.receiver - ATMOSPHERE)
    return rows


@inside
def _cap(row: Float) -> Cap:
    return Cap(Restriction(row[0], row[1]), Restriction(row[2], row[3]))


@inside
def _opened(y: Float, cap: Cap, row: Float, pulled: bool, kit: Kit, clock: Float) -> Mode:
    """The mode at the start of a phase; row is one of _held."""
    pressure = _pressure(y, kit)
    if pressure <= kit.pump.cut_in:
        clock[_PUMPS] = 1.0
    elif pressure >= kit.pump.cut_out:
        clock[_PUMPS] = 0.0
    held = March(row[0], row[1], row[2], row[3])
    return Mode(pulled, clock[_PUMPS] > 0.0, pressure >= held.receiver, cap, held, row[4:])


@inside
def _phase(
    y: Float, seconds: float, mode: Mode, kit: Kit, limits: Limits, books: tuple[Float, ...]
) -> None:
    """One phase; books are the clock, the phase's row of the table, the trace and room to work."""
    clock, out, trace, room = books
    lowest = math.inf if mode.pulled else math.nan
    used, came, gun = y[_USED], y[_DELIVERED], y[_GUN]
    pumped, left = 0.0, seconds
    stopped = _ended(mode, _pressure(y, kit), limits)
    while True:
        lowest = min(lowest, _note(trace, clock, y, mode, kit))
        if left <= _SHORTEST or stopped or clock[_COUNT] >= _STEPS:
            break
        then = _pressure(y, kit)
        taken, level = _advance(y, left, mode, kit, limits, clock, room)
        now = _pressure(y, kit)
        left -= taken
        pumped += taken if mode.pumping else 0.0
        if not math.isnan(level):
            stopped = _ended(mode, now, limits)
            mode = _switched(mode, now, now > then, kit.pump)
            clock[_PUMPS] = 1.0 if mode.pumping else 0.0
    passed = seconds - left
    out[END_PRESSURE], out[END_TEMPERATURE] = _pressure(y, kit), _temperature(y)
    out[LOWEST_GUN] = out[MEAN_GUN] = lowest
    if mode.pulled and passed > 0.0:
        out[MEAN_GUN] = (y[_GUN] - gun) / passed
    out[USED], out[DELIVERED] = y[_USED] - used, y[_DELIVERED] - came
    out[PUMPED], out[SECONDS] = pumped, passed
    clock[_STOPPED] = 1.0 if stopped else 0.0


@kernel
def run(
    programme: Programme, kit: Kit, start: ReceiverState, limits: Limits, table: Float, trace: Float
) -> Outcome:
    """Run a programme; fills one row of the table per phase, the trace as far as it has room."""
    y, room = np.zeros(_SIZE), np.zeros((8, _SIZE))
    held = _held(kit, programme.caps)
    y[_ENERGY] = start.pressure * kit.receiver.volume / 0.4
    y[_MASS] = y[_ENERGY] / (HEAT_VOLUME * start.temperature)
    clock = np.array(
        [0.0, 1.0, start.warmth, start.warmth, 1.0 if start.pumping else 0.0, 0.0, 0.0, 0.0]
    )
    phase = 0
    for index in range(programme.seconds.shape[0]):
        phase = index
        which = programme.which[index]
        row = max(0, which)
        cap = _cap(programme.caps[row])
        mode = _opened(y, cap, held[row], which >= 0, kit, clock)
        books = (clock, table[index], trace, room)
        _phase(y, programme.seconds[index], mode, kit, limits, books)
        if clock[_STOPPED] > 0.0 or clock[_COUNT] >= _STEPS:
            break
    state = ReceiverState(_pressure(y, kit), _temperature(y), clock[_PUMPS] > 0.0, clock[_WARMTH])
    return Outcome(
        state,
        clock[_TIME],
        phase,
        clock[_STOPPED] > 0.0,
        clock[_WARMEST],
        int(clock[_ROWS]),
        clock[_COUNT] >= _STEPS,
    )
