"""Plain records of the air engine: what a line, a pump and a run are. No arithmetic.

They stand apart from the kernels, which are one file: a compiled kernel is kept by the age of its
own file, and must not outlive a change in another.
"""

from typing import NamedTuple

import numpy as np
from numpy.typing import NDArray

Float = NDArray[np.float64]


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


class Kit(NamedTuple):
    """What a run is made with; draw [kg/s] is taken from the receiver all the time."""

    line: Line
    receiver: Receiver
    pump: Pump
    draw: float


class Programme(NamedTuple):
    """Seconds of each phase [s]; the row of its cap, or -1 with the trigger released; the caps, a
    row of conductance and ratio of body and holes each [m3/(s Pa), -]."""

    seconds: Float
    which: NDArray[np.int64]
    caps: Float


class Mode(NamedTuple):
    """What holds during one step; near is the last moment that was solved for the line wide open:
    receiver, pressure behind the holes, and how the one goes with the other."""

    pulled: bool
    pumping: bool
    regulated: bool
    cap: Cap
    held: March
    near: Float


class Outcome(NamedTuple):
    """How a run ended: state, when, in which phase, whether a limit stopped it, the pump's greatest
    warmth, rows of the trace; failed: too many steps."""

    state: ReceiverState
    time: float
    phase: int
    stopped: bool
    warmest: float
    rows: int
    failed: bool
