"""The same receiver and line by other means: marched downstream, stepped by SciPy.

Nothing of the kernels is used but their plain records. Slow; it is what they are held against.
"""

import math
from collections.abc import Callable
from typing import NamedTuple

import numpy as np
from numpy.typing import NDArray
from scipy.integrate import solve_ivp
from scipy.optimize import brentq

from coatwright.engines.air._kernels import AIR_GAS, REFERENCE_DENSITY, REFERENCE_TEMPERATURE
from coatwright.engines.air._records import (
    Cap,
    Hose,
    Kit,
    Line,
    Programme,
    ReceiverState,
    Restriction,
)
from coatwright.engines.constants import ATMOSPHERE

Float = NDArray[np.float64]
FALLS, RISES = -1.0, 1.0


def through(part: Restriction, upstream: float, downstream: float, temperature: float) -> float:
    """Mass flow through a part [kg/s]."""
    if part.conductance == math.inf:
        return math.inf
    choked = (
        part.conductance
        * REFERENCE_DENSITY
        * upstream
        * math.sqrt(REFERENCE_TEMPERATURE / temperature)
    )
    share = min(1.0, downstream / upstream)
    return choked * math.sqrt(1.0 - max(0.0, (share - part.ratio) / (1.0 - part.ratio)) ** 2)


def after(part: Restriction, upstream: float, flow: float, temperature: float) -> float:
    """Pressure after a part, by search; 0 if so much does not pass."""
    if part.conductance == math.inf:
        return upstream
    if flow >= through(part, upstream, 0.0, temperature):
        return 0.0
    if flow <= 0.0:
        return upstream
    low = part.ratio * upstream
    return float(
        brentq(lambda p: through(part, upstream, p, temperature) - flow, low, upstream, rtol=1e-14)
    )


def smooth_friction(reynolds: float) -> float:
    """Prandtl's law by search, laminar below 2000, linear between 2000 and 4000."""
    if reynolds < 2000.0:
        return 64.0 / reynolds
    turbulent = max(reynolds, 4000.0)
    root = float(brentq(lambda y: y + 2.0 * math.log10(2.51 * y / turbulent), 1.0, 40.0))
    full = 1.0 / (root * root)
    return full if reynolds >= 4000.0 else 0.032 + (full - 0.032) * (reynolds - 2000.0) / 2000.0


def hose_after(hose: Hose, upstream: float, flow: float, temperature: float) -> float:
    """Pressure after a bare hose, by search; 0 if so much does not pass."""
    if flow <= 0.0:
        return upstream
    flux = flow / (math.pi / 4.0 * hose.bore**2)
    viscosity = 1.458e-6 * math.pow(temperature, 1.5) / (temperature + 110.4)
    resistance = (
        hose.friction * smooth_friction(flux * hose.bore / viscosity) * hose.length / hose.bore
    )
    gas = flux**2 * AIR_GAS * temperature
    choked = math.sqrt(gas)

    def spare(p: float) -> float:
        return upstream**2 - p**2 - gas * (resistance + 2.0 * math.log(upstream / p))

    if upstream <= choked or spare(choked) < 0.0:
        return 0.0
    return float(brentq(spare, choked, upstream, rtol=1e-14))


def cap_flow(cap: Cap, inlet: float, temperature: float) -> float:
    """Flow of gun and cap at an inlet pressure."""
    if cap.body.conductance == math.inf:
        return through(cap.holes, inlet, ATMOSPHERE, temperature)

    def more(p: float) -> float:
        return through(cap.body, inlet, p, temperature) - through(
            cap.holes, p, ATMOSPHERE, temperature
        )

    behind = brentq(more, ATMOSPHERE, inlet, rtol=1e-15)
    return through(cap.holes, behind, ATMOSPHERE, temperature)


class Moment(NamedTuple):
    """Flow [kg/s] and pressure at the gun [Pa absolute]."""

    flow: float
    gun: float


def settle(line: Line, cap: Cap, receiver: float) -> Moment:
    """The line at one moment: the flow at which what arrives is what the cap takes."""
    heat, regulator, hose = line.temperature, line.regulator, line.hose

    def hosed(p: float, flow: float) -> float:
        start = after(hose.inlet, p, flow, heat)
        end = hose_after(hose, start, flow, heat) if start > 0.0 else 0.0
        return after(hose.outlet, end, flow, heat) if end > 0.0 else 0.0

    def regulated(p: float, flow: float) -> float:
        opened = after(regulator.open, p, flow, heat) if p > 0.0 else 0.0
        return min(opened, regulator.setting - regulator.droop * flow)

    def arriving(flow: float) -> float:
        p = after(line.filter, receiver, flow, heat)
        if regulator.at_gun:
            return regulated(hosed(p, flow) if p > 0.0 else 0.0, flow)
        p = regulated(p, flow)
        return hosed(p, flow) if p > 0.0 else 0.0

    def more(flow: float) -> float:
        p = arriving(flow)
        return (cap_flow(cap, p, heat) if p > ATMOSPHERE else 0.0) - flow

    flow = brentq(more, 0.0, cap_flow(cap, receiver, heat), xtol=1e-18, rtol=1e-14)
    # By the cap and not by what arrives: near choking a hair of flow is a step of pressure.
    gun = brentq(lambda p: cap_flow(cap, p, heat) - flow, ATMOSPHERE, receiver, rtol=1e-14)
    return Moment(flow, gun)


def delivered(kit: Kit, pressure: float) -> float:
    """Mass a running pump delivers [kg/s]."""
    pump = kit.pump
    free = pump.delivery * ATMOSPHERE / (AIR_GAS * kit.receiver.temperature)

    def efficiency(p: float) -> float:
        return 1.0 - pump.clearance * (math.pow(p / ATMOSPHERE, 1.0 / 1.3) - 1.0)

    return free * max(0.0, efficiency(pressure)) / efficiency(pump.reference)


class _Switch:
    """An event of solve_ivp: the receiver at a pressure, falling or rising."""

    def __init__(self, pressure: Callable[[Float], float], level: float, direction: float) -> None:
        self.pressure, self.level, self.direction = pressure, level, direction
        self.terminal = True

    def __call__(self, _: float, y: Float, *_more: object) -> float:
        return self.pressure(y) / self.level - 1.0


class Solver(NamedTuple):
    """How solve_ivp goes about it, and what answers for the line at one moment."""

    method: str = "DOP853"
    tolerance: float = 1e-10
    moment: Callable[[Line, Cap, float], NamedTuple] = settle


TIGHT = Solver()


def simulate(
    phases: Programme, kit: Kit, start: ReceiverState, solver: Solver = TIGHT
) -> tuple[float, float, float, float]:
    """Pressure [Pa absolute], temperature [K], mass used and delivered [kg] at the end."""
    gas, volume, wall = AIR_GAS, kit.receiver.volume, kit.receiver.temperature
    y = np.array([start.pressure * volume / (gas * start.temperature), start.temperature, 0.0, 0.0])
    pumping = start.pumping

    def pressure(state: Float) -> float:
        return float(state[0] * gas * state[1] / volume)

    def rates(_: float, state: Float, cap: Cap | None, runs: bool) -> list[float]:
        mass, heat = state[0], state[1]
        p = pressure(state)
        used = solver.moment(kit.line, cap, p)[0] if cap is not None else 0.0
        used += kit.draw * min(1.0, max(0.0, (p - ATMOSPHERE) / 5e4))
        came = delivered(kit, p) if runs else 0.0
        # Energy of the air: m cv dT/dt = came (cp T_in - cv T) - used R T + heat from the wall.
        warming = came * (3.5 * gas * kit.pump.delivered_at - 2.5 * gas * heat) - used * gas * heat
        warming += kit.receiver.heat * (wall - heat)
        return [came - used, warming / (mass * 2.5 * gas), used, came]

    for seconds, number in zip(phases.seconds, phases.which, strict=True):
        row = phases.caps[max(0, number)]
        cap = Cap(Restriction(row[0], row[1]), Restriction(row[2], row[3])) if number >= 0 else None
        time = 0.0
        pumping = (pumping or pressure(y) <= kit.pump.cut_in) and pressure(y) < kit.pump.cut_out
        while seconds - time > 1e-9:
            level = kit.pump.cut_out if pumping else kit.pump.cut_in
            switch = _Switch(pressure, level, RISES if pumping else FALLS)
            found = solve_ivp(
                rates,
                (time, seconds),
                y,
                solver.method,
                args=(cap, pumping),
                events=switch,
                rtol=solver.tolerance,
                atol=solver.tolerance * 1e-3,
            )
            y, time = found.y[:, -1], float(found.t[-1])
            if found.status == 1:
                pumping = not pumping
    return pressure(y), float(y[1]), float(y[2]), float(y[3])
