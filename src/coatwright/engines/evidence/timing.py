"""A stopwatch: fluid into a measuring cup, and strokes over a known length.

A hand that starts and stops a watch is off by 0.10 s (one standard deviation); this is known apart
from the hand's own spread and so can be taken out of it.
"""

import math
from collections.abc import Sequence
from typing import Final, NamedTuple

import numpy as np
from numpy.typing import ArrayLike
from scipy.special import gammaincinv

from coatwright.engines.evidence._checks import above, listed, not_below
from coatwright.engines.evidence.measured import Measured, mean_of, product, standard_of_limits
from coatwright.errors import RangeError

STOPWATCH: Final = 0.10
"""Standard deviation of a time taken by hand [s]; manual-timing."""
HELD: Final = 0.8
"""Share of cases in which the truth lies within a Range."""


class Range(NamedTuple):
    """A value with the bounds between which it lies in four cases of five [-, m, m/s]."""

    value: float
    low: float
    high: float


class Pace(NamedTuple):
    """Speed of strokes [m/s], and the hand's spread of it as a share [-]."""

    speed: Measured
    spread: Range


class Uneven(NamedTuple):
    """Spread of speed as a share [-] from stroke to stroke, and of what all strokes of a set have
    in common, None of one set alone; degrees of freedom of both [-]."""

    stroke: Range
    common: Range | None
    freedom: float
    sets_freedom: float


def true_spread(variance: float, freedom: float, error: float) -> Range:
    """Spread of a thing itself, once the variance of measuring it is taken away.

    Parameters
    ----------
    variance : float [-]
        Sample variance of what was measured, in the square of any unit.
    freedom : float [-]
        Its degrees of freedom, above 0.
    error : float [-]
        Variance of the measurement alone, in the same unit.

    Returns
    -------
    Range [-]
        Standard deviation of the thing, and its 80 % interval; 0 where the error explains all.

    Raises
    ------
    RangeError
        A negative variance or no degrees of freedom.

    Validity
        Normal values.
    Source
        variance-interval: freedom variance / chi-square.
    Checked
        tests/unit/engines/evidence/test_timing.py, against simulation.
    """
    not_below(variance, "a variance"), not_below(error, "a variance of error")
    above(freedom, "degrees of freedom")
    tails = np.array([0.5 + HELD / 2, 0.5 - HELD / 2])
    bounds = freedom * variance / (2 * gammaincinv(freedom / 2, tails))
    low, high = np.sqrt(np.maximum(bounds - error, 0.0))
    return Range(math.sqrt(max(variance - error, 0.0)), float(low), float(high))


def fluid_flow(
    volumes: ArrayLike, seconds: ArrayLike, resolution: float, timing: float = STOPWATCH
) -> Measured:
    """Paint through a gun, from catching it in a measuring cup for a timed while.

    Parameters
    ----------
    volumes : (n,) array [m3]
        Caught each time.
    seconds : (n,) array [s]
        How long each time.
    resolution : float [m3]
        From one mark of the cup to the next.
    timing : float [s]
        Standard deviation of a time.

    Returns
    -------
    Measured [m3/s]
        Mean of the runs; its spread is that between runs or that of cup and watch, the larger.

    Raises
    ------
    RangeError
        Not as many times as volumes, or one not above zero.

    Validity
        Air shut off or the cap removed as the gun's maker asks: it is the fluid at that pressure.
    Source
        flow-answers; gum-type-b; manual-timing.
    Checked
        tests/published/test_evidence.py and, for the spread,
        tests/unit/engines/evidence/test_timing.py.
    """
    caught, times = listed(volumes, "volumes"), _times(seconds)
    if caught.size != times.size:
        raise RangeError(
            f"{caught.size} volumes and {times.size} times", instead="give one time for each volume"
        )
    above(float(caught.min()), "a volume")
    flows = caught / times
    mark = standard_of_limits(not_below(resolution, "a mark of the cup") / 2)
    each = flows * np.hypot(mark / caught, not_below(timing, "a spread of timing") / times)
    known = float(np.linalg.norm(each)) / flows.size
    between = mean_of(flows).spread if flows.size > 1 else 0.0
    return Measured(float(flows.mean()), max(known, between))


def stroke_speed(seconds: ArrayLike, length: float, timing: float = STOPWATCH) -> Pace:
    """How fast strokes were, and how evenly, from their times over a known length.

    Parameters
    ----------
    seconds : (n,) array [s]
        Time of each stroke, at least three.
    length : float [m]
        From mark to mark, above 0.
    timing : float [s]
        Standard deviation of a time.

    Returns
    -------
    Pace [m/s, -]
        Mean speed and how well it is known; spread from stroke to stroke as a share, timing taken
        out.

    Raises
    ------
    RangeError
        Fewer than three times, or one not above zero.

    Validity
        Strokes short against the error of the watch (a metre in two seconds: 5 %) tell little of an
        even hand; time several strokes together or film them.
    Source
        manual-timing (the timing error is subtracted from the variation seen); variance-interval.
    Checked
        tests/unit/engines/evidence/test_timing.py, against simulation.
    """
    times = _times(seconds, 3)
    speeds = above(length, "a length") / times
    mean = mean_of(speeds)
    variance = float(speeds.var(ddof=1)) / mean.mean**2
    error = float(np.mean((not_below(timing, "a spread of timing") / times) ** 2))
    return Pace(mean, true_spread(variance, times.size - 1, error))


def unevenness(
    seconds: Sequence[ArrayLike], asked: Sequence[float], timing: float = STOPWATCH
) -> Uneven:
    """How uneven a hand is: from stroke to stroke, and from one set of strokes to the next.

    Parameters
    ----------
    seconds : sequence of (n,) arrays [s]
        Times of the strokes, a set for each coat or practice; at least two strokes in one of them.
    asked : sequence of float [s]
        How long a stroke of each set should have taken.
    timing : float [s]
        Standard deviation of a time.

    Returns
    -------
    Uneven [-]
        Of the logarithm of asked over taken; the watch's error is taken out of the first, what
        strokes leave by chance out of the second.

    Raises
    ------
    RangeError
        No set, no repeated stroke, not as many times asked as sets, or one not above zero.

    Validity
        Strokes independent within a set, sets independent of each other; with few sets the second
        is hardly known.
    Source
        variance-components: one-way analysis of variance, mean squares against their expectations;
        manual-timing; variance-interval.
    Checked
        tests/unit/engines/evidence/hands/test_unevenness.py, against simulation and scipy.stats.
    """
    sets = [_times(one) for one in seconds]
    if len(sets) != len(asked) or not sets:
        raise RangeError(f"{len(sets)} sets of strokes and {len(asked)} times asked for")
    counts = np.array([one.size for one in sets], dtype=np.float64)
    freedom = float(counts.sum() - counts.size)
    above(freedom, "strokes beyond the first of each set")
    ratios = [
        np.log(above(time, "a time asked for") / one) for time, one in zip(asked, sets, strict=True)
    ]
    within = sum(float(((one - one.mean()) ** 2).sum()) for one in ratios) / freedom
    error = not_below(timing, "a spread of timing") ** 2 * sum(
        (one.size - 1) * float(np.mean(one**-2.0)) for one in sets
    )
    stroke = true_spread(within, freedom, error / freedom)
    if counts.size < 2:
        return Uneven(stroke, None, freedom, 0.0)
    means = np.array([one.mean() for one in ratios])
    total, spare = float(counts.sum()), float(counts.size - 1)
    between = float(counts @ (means - counts @ means / total) ** 2) / spare
    size = (total - float(counts @ counts) / total) / spare
    return Uneven(stroke, true_spread(between / size, spare, within / size), freedom, spare)


def speed_from_film(
    film: Measured, flow: Measured, transfer: Measured, solids: Measured, pitch: float
) -> Measured:
    """Mean speed of the strokes behind a mean film, of a weighed board for instance.

    Parameters
    ----------
    film : Measured [m]
        Mean dry film of one coat.
    flow : Measured [m3/s]
        Paint through the gun.
    transfer : Measured [-]
        Share of it that stays on the board.
    solids : Measured [-]
        Volume solids, ready to spray.
    pitch : float [m]
        From stroke to stroke.

    Returns
    -------
    Measured [m/s]
        flow solids transfer / (film pitch).

    Raises
    ------
    RangeError
        Anything not above zero.

    Validity
        Strokes all over and past the board, each once; transfer and speed cannot be told apart by a
        scale alone.
    Source
        film-mass-balance, solved for the speed; uncertainty-product.
    Checked
        tests/published/test_evidence.py and, for the spread,
        tests/unit/engines/evidence/test_timing.py.
    """
    named = {"a film": film, "a flow": flow, "a transfer": transfer, "volume solids": solids}
    for name, one in named.items():
        above(one.mean, name)
    return product((flow, transfer, solids), (film, Measured(above(pitch, "a pitch"), 0.0)))


def _times(seconds: ArrayLike, least: int = 1) -> np.ndarray[tuple[int, ...], np.dtype[np.float64]]:
    times = listed(seconds, "times", least)
    above(float(times.min()), "a time")
    return times
