"""A learner's practice board: gauge readings on a grid, and what they say of the hand.

Rows of the grid lie across the strokes, columns along them. The film goes as one over the speed.
From row to row it varies with the speed and the aim of the strokes over it, and with the stripes
that even strokes leave; what is left after rows and columns is the hand within a stroke, and the
gauge. The gauge's calibration is common to all readings and drops out of shares.
"""

import math
from typing import Final, NamedTuple

import numpy as np
from numpy.typing import ArrayLike, NDArray
from scipy.special import ndtri

from coatwright.engines.evidence._checks import above, listed, not_below
from coatwright.engines.evidence.gauge import Gauge
from coatwright.engines.evidence.measured import Measured, standard_of_limits
from coatwright.engines.evidence.practice.lap import Lap, Response, likeness, response
from coatwright.engines.evidence.timing import HELD, Range, true_spread
from coatwright.errors import RangeError

Array = NDArray[np.float64]

EVEN_ENOUGH: Final = 0.15
"""Spread of a board's film that is aimed at, as a share; common practice, no source."""
STRIPE_ROWS: Final = 6
_PERIODS: Final = 400
_TRIALS: Final = 2.0


class Board(NamedTuple):
    """Readings (rows across the strokes, columns along them) [m], rows apart [m], the gauge [m,
    -]."""

    readings: ArrayLike
    spacing: float
    gauge: Gauge = Gauge()


class Stripe(NamedTuple):
    """A wave across the rows: period [m], height as a share [-], chance of it in an even board
    [-]."""

    period: float
    height: float
    chance: float


class Score(NamedTuple):
    """A board's film [m], its spread and edge to centre as shares [-], stripes [m, -] if any can be
    seen."""

    film: Measured
    spread: Range
    edge_to_centre: Range
    stripe: Stripe | None

    @property
    def even(self) -> bool:
        """Whether the spread is within what is aimed at."""
        return self.spread.value <= EVEN_ENOUGH


class HandFound(NamedTuple):
    """A hand's spread of speed from stroke to stroke, and within a stroke, as shares [-]; degrees
    of freedom of the first [-]."""

    speed: Range
    within_stroke: Range
    freedom: float


def score(board: Board) -> Score:
    """How even the film of a practice board is.

    Parameters
    ----------
    board : Board [m, -]
        At least 3 x 3 readings.

    Returns
    -------
    Score [m, -]
        Mean film; spread of all readings without the gauge's own; mean of the outer ring over that
        of the inside; the strongest stripe, if there are six rows.

    Raises
    ------
    RangeError
        Fewer than nine readings in a grid, or none above zero.

    Validity
        Bounds hold in four cases of five for films that vary at random; a board with a pattern has
        fewer independent places.
    Source
        variance-interval; sinusoid-fit. The aim of 15 % is common practice, no source.
    Checked
        tests/unit/engines/evidence/test_board.py, against simulation and scipy.signal.
    """
    grid, mean = _grid(board)
    shares = grid / mean
    variance = float(shares.var(ddof=1))
    spread = true_spread(variance, grid.size - 1, _gauge_variance(board, mean))
    film = Measured(
        mean,
        mean * math.hypot(math.sqrt(variance / grid.size), standard_of_limits(board.gauge.share)),
    )
    stripe = _stripe(shares.mean(axis=1), board.spacing) if len(grid) >= STRIPE_ROWS else None
    return Score(film, spread, _edge_to_centre(shares, variance), stripe)


def hand_from_board(board: Board, lap: Lap, aim: float = 0.0) -> HandFound:
    """A hand's spread of speed, from a practice board.

    Parameters
    ----------
    board : Board [m, -]
        At least 3 x 3 readings, rows across the strokes.
    lap : Lap [m, -]
        Fan and pitch of the strokes on it.
    aim : float [m]
        Wander of strokes off their line (standard deviation), if known; what it explains is not
        counted as speed.

    Returns
    -------
    HandFound [-]
        From stroke to stroke (variance between rows, less the residual, aim and stripes, over the
        lap's response), and within a stroke (residual less the gauge).

    Raises
    ------
    RangeError
        Fewer than nine readings in a grid, or a lap that is none.

    Validity
        Film as one over the speed, to first order; distance and angle count as speed. Rows nearer
        than the fan's length share strokes, which is allowed for. One board of nine readings gives
        little more than an upper bound.
    Source
        derived: analysis of variance of rows and columns; response of a lap.
    Checked
        tests/unit/engines/evidence/test_board.py, against simulated strokes and scipy.stats.
    """
    grid, mean = _grid(board)
    between, residual = _mean_squares(grid / mean)
    columns = grid.shape[1]
    felt, freedom = _felt(len(grid), board.spacing, lap)
    gain = columns * felt.speed
    other = columns * (felt.aim * not_below(aim, "a wander") ** 2 + felt.ripple)
    speed = true_spread(between / gain, freedom, (residual + other) / gain)
    rest = (len(grid) - 1) * (columns - 1)
    return HandFound(speed, true_spread(residual, rest, _gauge_variance(board, mean)), freedom)


def hand_from_weights(films: ArrayLike, error: float, strokes: int) -> Range:
    """A hand's spread of speed, from the mean films of several weighed boards.

    Parameters
    ----------
    films : (n,) array [m]
        Mean film of each board, at least three, all sprayed to the same aim.
    error : float [-]
        Standard deviation of a weighed film as a share, without what all boards have in common.
    strokes : int [-]
        Strokes over each board.

    Returns
    -------
    Range [-]
        From stroke to stroke, as a share: a board's mean varies by it over the root of its strokes.

    Raises
    ------
    RangeError
        Fewer than three boards, a film not above zero, a negative error or no strokes.

    Validity
        Strokes independent of each other; a hand that is slow all day shows as spread of boards.
    Source
        derived: variance of a mean; variance-interval.
    Checked
        tests/unit/engines/evidence/test_board.py, against simulated strokes.
    """
    found = listed(films, "boards", 3)
    above(float(found.min()), "a film")
    above(strokes, "strokes")
    variance = float(found.var(ddof=1)) / float(found.mean()) ** 2
    taken = not_below(error, "an error") ** 2
    return true_spread(variance * strokes, found.size - 1, taken * strokes)


def _grid(board: Board) -> tuple[Array, float]:
    grid = np.asarray(board.readings, dtype=float)
    if grid.ndim != 2 or min(grid.shape) < 3:
        raise RangeError(
            f"a board of {' x '.join(str(one) for one in grid.shape)} readings",
            instead="at least 3 rows of 3 are needed",
        )
    above(board.spacing, "a distance from row to row")
    return grid, above(float(grid.mean()), "a mean film")


def _gauge_variance(board: Board, mean: float) -> float:
    return (standard_of_limits(board.gauge.fixed) / mean) ** 2


def _mean_squares(shares: Array) -> tuple[float, float]:
    """Between rows, and residual after rows and columns."""
    rows, columns = shares.shape
    between = columns * float(shares.mean(axis=1).var(ddof=1))
    rest = shares - shares.mean(axis=1)[:, None] - shares.mean(axis=0) + shares.mean()
    return between, float(np.sum(rest**2)) / ((rows - 1) * (columns - 1))


def _felt(rows: int, spacing: float, lap: Lap) -> tuple[Response, float]:
    """What rows so near each other show of a lap's response, and their degrees of freedom."""
    places = np.arange(rows) * spacing
    alike = likeness(lap, np.abs(places[:, None] - places))
    centre = np.eye(rows) - 1 / rows
    shown = [float(np.trace(centre @ one @ centre)) / (rows - 1) for one in alike]
    strengths = np.linalg.eigvalsh(centre @ alike.speed @ centre)
    freedom = float(strengths.sum() ** 2 / np.sum(strengths**2))
    return Response(*np.multiply(shown, response(lap))), freedom


def _edge_to_centre(shares: Array, variance: float) -> Range:
    inside = np.zeros(shares.shape, dtype=bool)
    inside[1:-1, 1:-1] = True
    edge, centre = shares[~inside], shares[inside]
    ratio = float(edge.mean() / centre.mean())
    doubt = ratio * math.sqrt(variance * (1 / edge.size + 1 / centre.size))
    reach = float(ndtri(0.5 + HELD / 2)) * doubt
    return Range(ratio, ratio - reach, ratio + reach)


def _stripe(rows: Array, spacing: float) -> Stripe:
    """Sinusoid that explains most of the rows' variance, by least squares over many periods."""
    places = np.arange(rows.size, dtype=np.float64) * spacing
    slowest, fastest = 1 / (rows.size * spacing), 1 / (2 * spacing)
    frequencies: Array = np.linspace(slowest, fastest, _PERIODS, endpoint=False)
    explained, heights = _waves(places, rows, frequencies)
    best = int(explained.argmax())
    # One wave explains so much by chance with (share left)^((n - 3)/2); 2 n are tried in effect.
    single = min((1 - float(explained[best])) ** ((rows.size - 3) / 2), 1 - 1e-12)
    chance = -math.expm1(_TRIALS * rows.size * math.log1p(-single))
    return Stripe(1 / float(frequencies[best]), float(heights[best]), chance)


def _waves(places: Array, rows: Array, frequencies: Array) -> tuple[Array, Array]:
    """Share of the variance that a mean and one wave explain, and the wave's height."""
    angle = 2 * np.pi * np.multiply.outer(frequencies, places)
    columns = np.stack([np.ones_like(angle), np.cos(angle), np.sin(angle)], axis=-1)
    across, upper = np.linalg.qr(columns)
    weights = np.einsum("fni,n->fi", across, rows)
    wave = np.linalg.solve(upper, weights[..., None])[..., 0]
    total = float(np.sum((rows - rows.mean()) ** 2))
    explained = np.sum(weights[:, 1:] ** 2, axis=1) / total if total > 0 else 0 * frequencies
    return explained, np.hypot(wave[:, 1], wave[:, 2])
