"""A receiver, its pump and the line through a programme of trigger pulled and released.

All pressures are absolute.
"""

import math
from collections.abc import Sequence
from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

from coatwright.engines.air import _kernels as kernels
from coatwright.engines.air._records import Cap, Kit, Limits, Programme, ReceiverState
from coatwright.engines.air.line import at_inlet
from coatwright.errors import NotConverged, RangeError

Float = NDArray[np.float64]
Whole = NDArray[np.int64]

TOLERANCE = 1e-9
"""Error allowed in one step, relative to the mass and the energy in the receiver."""

LONG_ENOUGH = 3600.0
"""A trigger held an hour is held for ever [s]."""

_TRACE_ROOM = 20_000


@dataclass(frozen=True, eq=False)
class Run:
    """What became of a programme, SI, pressures absolute [Pa].

    Arrays by phase: receiver and its temperature [K] at the end, lowest and mean pressure at the
    gun (nan with the trigger released), air used at the gun and by others and air delivered [kg],
    seconds [s] that the pump ran and that the phase lasted. trace has the columns time [s],
    receiver [Pa], its temperature [K], gun [Pa], pump runs [-]. Phases after an early stop are left
    out.
    """

    receiver: Float
    temperature: Float
    lowest: Float
    mean: Float
    used: Float
    delivered: Float
    pumped: Float
    seconds: Float
    end: ReceiverState
    time: float
    stopped: bool
    warmest: float
    trace: Float


def programme(
    seconds: Sequence[float] | Float, which: Sequence[int] | Whole, caps: Sequence[Cap]
) -> Programme:
    """A programme for `simulate`.

    Parameters
    ----------
    seconds : sequence of float [s]
        Length of each phase.
    which : sequence of int [-]
        Number of the cap open in each phase, -1 with the trigger released.
    caps : sequence of Cap
        The caps.

    Returns
    -------
    Programme
        As arrays.

    Raises
    ------
    RangeError
        If a phase has a negative length, no cap of its number, or there is no cap at all.

    Source
        derived.
    """
    lengths = np.ascontiguousarray(seconds, dtype=np.float64)
    numbers = np.ascontiguousarray(which, dtype=np.int64)
    if len(lengths) != len(numbers) or not caps or np.any(lengths < 0.0):
        raise RangeError(
            "a programme needs a length of at least 0 s and a cap for every phase",
            instead="give as many lengths as cap numbers, and at least one cap",
        )
    if np.any(numbers >= len(caps)):
        raise RangeError(f"there is no cap number {int(numbers.max())}")
    rows = [(c.body.conductance, c.body.ratio, c.holes.conductance, c.holes.ratio) for c in caps]
    return Programme(lengths, numbers, np.array(rows, dtype=np.float64))


def full(kit: Kit) -> ReceiverState:
    """A receiver just pumped up and cooled, the pump at rest and cold.

    Parameters
    ----------
    kit : Kit
        Receiver and pump.

    Returns
    -------
    ReceiverState
        At the cut-out pressure.

    Source
        derived.
    """
    return ReceiverState(kit.pump.cut_out, kit.receiver.temperature, False, 0.0)


def lowest_start(kit: Kit) -> ReceiverState:
    """A receiver that has just come down to the cut-in pressure, the pump about to start.

    Parameters
    ----------
    kit : Kit
        Receiver and pump.

    Returns
    -------
    ReceiverState
        At the cut-in pressure.

    Source
        derived.
    """
    return ReceiverState(kit.pump.cut_in, kit.receiver.temperature, True, 0.0)


def simulate(
    phases: Programme,
    kit: Kit,
    start: ReceiverState | None = None,
    limits: Limits | None = None,
    trace: bool = False,
) -> Run:
    """Run a programme.

    Parameters
    ----------
    phases : Programme
        What the trigger does.
    kit : Kit
        Line, receiver, pump, and what others draw.
    start : ReceiverState or None
        Where it begins; None: full.
    limits : Limits or None
        Pressures at which it stops early, tolerance, longest step; None: it runs to the end.
    trace : bool
        Keep what happened from step to step.

    Returns
    -------
    Run
        By phase.

    Raises
    ------
    NotConverged
        If it takes more than a million steps.

    Validity
        Ideal gas of one temperature; the line as good as steady (a hose of 10 m fills in a tenth
        of a second); the wall of the receiver stays at the shop's temperature.

    Source
        receiver-energy: mass and energy of the air, Dormand and Prince's pair 5(4).

    Checked
        tests/unit/engines/air/test_run.py against solve_ivp.
    """
    bounds = limits or Limits(0.0, math.inf, TOLERANCE, math.inf)
    table = np.zeros((len(phases.seconds), kernels.COLUMNS))
    room = np.zeros((_TRACE_ROOM if trace else 0, kernels.TRACE))
    out = kernels.run(phases, kit, start or full(kit), bounds, table, room)
    if out.failed:
        raise NotConverged(f"the air ran a million steps and got only to {out.time:.0f} s")
    rows = table[: out.phase + 1].T
    return Run(
        receiver=rows[kernels.END_PRESSURE],
        temperature=rows[kernels.END_TEMPERATURE],
        lowest=rows[kernels.LOWEST_GUN],
        mean=rows[kernels.MEAN_GUN],
        used=rows[kernels.USED],
        delivered=rows[kernels.DELIVERED],
        pumped=rows[kernels.PUMPED],
        seconds=rows[kernels.SECONDS],
        end=ReceiverState(*out.state),
        time=float(out.time),
        stopped=bool(out.stopped),
        warmest=float(out.warmest),
        trace=room[: out.rows].copy(),
    )


def hold_time(kit: Kit, cap: Cap, pressure: float, start: ReceiverState | None = None) -> float:
    """How long the pressure at the gun holds with the trigger pulled and not let go.

    Parameters
    ----------
    kit : Kit
        Line, receiver, pump.
    cap : Cap
        Gun and air cap.
    pressure : float [Pa]
        Needed at the gun's inlet, absolute.
    start : ReceiverState or None
        Where it begins; None: full.

    Returns
    -------
    float [s]
        0 if it is never reached; infinite beyond an hour.

    Raises
    ------
    RangeError
        If the pressure is not above the open air's.

    Source
        receiver-energy.
    """
    needed = at_inlet(kit.line, cap, pressure)
    held = needed.regulated + kit.line.regulator.droop * needed.flow
    if kit.line.regulator.setting < held * (1.0 - 1e-9):
        return 0.0
    limits = Limits(needed.receiver, math.inf, TOLERANCE, math.inf)
    found = simulate(programme([LONG_ENOUGH], [0], [cap]), kit, start, limits)
    return found.time if found.stopped else math.inf


def rest_time(kit: Kit, cap: Cap, start: ReceiverState, pressure: float | None = None) -> float:
    """How long the receiver takes to recover with the trigger released.

    Parameters
    ----------
    kit : Kit
        Receiver, pump, and what others draw.
    cap : Cap
        Any cap.
    start : ReceiverState
        Where it begins.
    pressure : float or None [Pa]
        Wanted in the receiver, absolute; None: the cut-out pressure.

    Returns
    -------
    float [s]
        Infinite if it does not get there within an hour.

    Source
        receiver-energy.
    """
    # A hair below cut-out, which is where the pump stops.
    wanted = pressure if pressure is not None else kit.pump.cut_out * (1.0 - 1e-9)
    limits = Limits(0.0, wanted, TOLERANCE, math.inf)
    found = simulate(programme([LONG_ENOUGH], [-1], [cap]), kit, start, limits)
    return found.time if found.stopped else math.inf


def after(phases: Programme, count: int) -> Programme:
    """A programme without its first phases.

    Parameters
    ----------
    phases : Programme
        The whole.
    count : int
        How many to leave out.

    Returns
    -------
    Programme
        The rest.

    Source
        derived.
    """
    return Programme(phases.seconds[count:], phases.which[count:], phases.caps)
