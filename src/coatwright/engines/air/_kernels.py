"""Compiled kernels: the line at one moment, and the receiver through a programme.

The line is marched from the holes of the air cap upstream: at every part the pressure before it
follows in closed form from the pressure after it and the flow, so that one unknown, the pressure
behind the holes, gives all the others, and every pressure rises with it.
"""

import math
from typing import Final, NamedTuple

import numpy as np
from numba import njit
from numpy.typing import NDArray

from coatwright.engines.constants import ATMOSPHERE, GAS

Float = NDArray[np.float64]

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


class Restriction(NamedTuple):
    """One part by ISO 6358: sonic conductance [m3/(s Pa)] and critical pressure ratio [-].

    An infinite conductance loses nothing.
    """

    conductance: float
    ratio: float


class Hose(NamedTuple):
    """A hose: length and bore [m], friction as a multiple of a smooth bore's [-], and the fittings
    at its two ends."""

    length: float
    bore: float
    friction: float
    inlet: Restriction
    outlet: Restriction


class Regulator(NamedTuple):
    """A pressure regulator: setting [Pa absolute, no flow], droop [Pa s/kg], and what it is when
    wide open. at_gun: it sits at the gun and not before the hose."""

    setting: float
    droop: float
    open: Restriction
    at_gun: bool


class Line(NamedTuple):
    """From the receiver to the gun; temperature [K] of the air in it."""

    filter: Restriction
    regulator: Regulator
    hose: Hose
    temperature: float


class Cap(NamedTuple):
    """Gun and air cap: passages of the body, then holes to the open air [m3/(s Pa)]."""

    body: Restriction
    holes: Restriction


class Receiver(NamedTuple):
    """A receiver: volume [m3], heat [W/K] that passes between air and wall, temperature [K] of the
    wall. heat 0 is adiabatic, infinite isothermal."""

    volume: float
    heat: float
    temperature: float


class Pump(NamedTuple):
    """A pump: free air delivered [m3/s] against `reference` [Pa absolute], clearance [-], switch
    pressures [Pa absolute], temperature of what it delivers [K] and of what it takes in [K].

    warm_full is the warmth it would reach if it ran for ever, 1 being what it can stand; warm_time
    [s] the time it takes to warm by 63 %.
    """

    delivery: float
    reference: float
    clearance: float
    cut_in: float
    cut_out: float
    delivered_at: float
    warm_full: float
    warm_time: float


class ReceiverState(NamedTuple):
    """Where a run begins or ends: pressure [Pa absolute] and temperature [K] in the receiver,
    whether the pump runs, and how warm it is (1 = its limit)."""

    pressure: float
    temperature: float
    pumping: bool
    warmth: float


class Limits(NamedTuple):
    """When a run stops early (receiver [Pa absolute]), its tolerance and its longest step [s]."""

    below: float
    above: float
    tolerance: float
    longest: float


class March(NamedTuple):
    """The line at one moment: flow [kg/s]; pressures [Pa absolute] at the gun's inlet, after the
    regulator, and in the receiver if the regulator were wide open."""

    flow: float
    gun: float
    regulated: float
    receiver: float


@njit(cache=True, nogil=True, error_model="numpy")
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


@njit(cache=True, nogil=True, error_model="numpy")
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


@njit(cache=True, nogil=True, error_model="numpy")
def viscosity(temperature: float) -> float:
    """Dynamic viscosity of air [Pa s]: Sutherland's formula as in the US Standard Atmosphere."""
    return 1.458e-6 * temperature * math.sqrt(temperature) / (temperature + 110.4)


@njit(cache=True, nogil=True, error_model="numpy")
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


@njit(cache=True, nogil=True, error_model="numpy")
def along(hose: Hose, downstream: float, flow: float, temperature: float) -> float:
    """Pressure at the inlet of a bare hose; infinite if so much cannot come out at `downstream`."""
    if flow <= 0.0 or hose.length <= 0.0:
        return downstream
    area = 0.25 * math.pi * hose.bore * hose.bore
    reynolds = hose.bore * flow / (area * viscosity(temperature))
    resistance = hose.friction * friction(reynolds) * hose.length / hose.bore
    return isothermal(resistance, flow / area, downstream, temperature)


@njit(cache=True, nogil=True, error_model="numpy")
def isothermal(resistance: float, flux: float, downstream: float, temperature: float) -> float:
    """Pressure before a passage of f L / d = resistance that carries flux [kg/(m2 s)].

    With x the ratio of the pressures and g = flux^2 R T / downstream^2: x^2 = 1 + g (f L / d +
    2 ln x). Where g >= 1 the outlet is faster than isothermal flow can be: infinite.
    """
    g = flux * flux * AIR_GAS * temperature / (downstream * downstream)
    if g >= 1.0:
        return math.inf
    x = math.sqrt(1.0 + g * resistance)
    for _ in range(50):
        step = (x * x - 1.0 - g * (resistance + 2.0 * math.log(x))) / (2.0 * x - 2.0 * g / x)
        x -= step
        if abs(step) <= 1e-9 * x:  # squared in the step just taken
            break
    return downstream * x


@njit(cache=True, nogil=True, error_model="numpy")
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


@njit(cache=True, nogil=True, error_model="numpy")
def _hosed(line: Line, downstream: float, flow: float) -> float:
    """Pressure before the hose and the fittings at its ends."""
    hose, heat = line.hose, line.temperature
    end = before(hose.outlet, downstream, flow, heat)
    return before(hose.inlet, along(hose, end, flow, heat), flow, heat)


@njit(cache=True, nogil=True, error_model="numpy")
def _wanting(line: Line, cap: Cap, behind: float, what: float) -> float:
    """The pressure that grows to a target: see AT_RECEIVER and its like."""
    at = march(line, cap, behind)
    if what == AT_RECEIVER:
        return at.receiver
    if what == AT_SETTING:
        return at.regulated + line.regulator.droop * at.flow
    return at.gun


@njit(cache=True, nogil=True, error_model="numpy")
def behind_holes(line: Line, cap: Cap, target: float, what: float) -> float:
    """Pressure behind the holes at which one pressure of the line is `target`.

    False position (Illinois), then bisection where the hose chokes.
    """
    low, high = ATMOSPHERE, target
    if target <= ATMOSPHERE:
        return ATMOSPHERE
    f_low = _wanting(line, cap, low, what) - target
    f_high = _wanting(line, cap, high, what) - target
    side = 0
    for turn in range(200):
        if turn > 60 or not (math.isfinite(f_high) and math.isfinite(f_low)):
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


@njit(cache=True, nogil=True, error_model="numpy")
def settle(line: Line, cap: Cap, receiver: float) -> March:
    """The line with the trigger pulled and so much in the receiver.

    The regulator holds its setting less droop, but cannot hold more than comes through it.
    """
    at = march(line, cap, behind_holes(line, cap, line.regulator.setting, AT_SETTING))
    if at.receiver <= receiver:
        return at
    return march(line, cap, behind_holes(line, cap, receiver, AT_RECEIVER))


@njit(cache=True, nogil=True, error_model="numpy")
def delivered(pump: Pump, pressure: float, intake: float) -> float:
    """Mass a running pump delivers [kg/s]: re-expansion from its clearance lessens it."""
    full = pump.delivery * ATMOSPHERE / (AIR_GAS * intake)
    if pump.clearance == 0.0:
        return full
    now = 1.0 + pump.clearance - pump.clearance * math.pow(pressure / ATMOSPHERE, _EXPANDING)
    then = 1.0 + pump.clearance - pump.clearance * math.pow(pump.reference / ATMOSPHERE, _EXPANDING)
    return full * max(0.0, now) / then
