"""The fan on a rectified test card: size, exponents, place, and how it departs from an even fan."""

import math
from collections.abc import Callable
from typing import Final, Literal, NamedTuple

import numpy as np
from numpy.typing import NDArray
from scipy.optimize import least_squares

from coatwright.engines.card import _model
from coatwright.engines.card._model import LIMITS, MISTS, Array, Cells, Value, blocks_of
from coatwright.engines.card._pattern import Specks, middle_and_ends, specks
from coatwright.engines.card.rectify import Sheet
from coatwright.errors import NotConverged, RangeError

__all__ = ["Measured", "Value", "measure"]

_CELL: Final = 4  # pixels of the sheet along a cell of the fit
_FAINT: Final = 0.12
_TINY: Final = 1.5e-8  # of a parameter, for a slope by differences: root of the rounding
_SCALE: Final = 0.003  # one standard deviation of lens and print: an assumption
_AROUND: Final = 0.025  # paper looked at around the fan [m]
_RISE: Final = 0.5  # standard deviation of a Gaussian blur over the width of an edge, 10 to 90 %
_OFF_CARD: Final = 0.04
_PAPER_BARE: Final = 0.02


class Measured(NamedTuple):
    """The fan on the card, as it lies there.

    `length` and `width` are those of the double-beta's ellipse, from bare paper to bare paper [m];
    `width` and `along` are None for a pass, which does not show them. `across` and `along` are its
    exponents [-]; `x` and `y` its middle from the middle of the page [m]; `tilt` the angle of its
    long axis to the page's long side [rad]; `peak` the D in its middle [-]. `ends` is the paint
    between half and three quarters of the half length over that in the middle quarter [-]; `dip`
    how much less lies in the very middle than beside it, as a share [-]; `top` the paint left of
    the middle over that right of it [-]; `side` that above the long axis over that below [-]; `bow`
    how far the ends bend to one side, as a share of the width [-]; `spots` specks of a millimetre
    or more for each square decimetre of fan [-]. `residual` is the root mean square by which the
    share of bare paper misses the fan, against its greatest depth [-]; `hidden` the share of the
    fan in which the paper no longer shows [-]; `off_card` the share of it beyond the page [-].
    """

    kind: str
    length: Value
    width: Value | None
    across: Value
    along: Value | None
    x: Value
    y: Value | None
    tilt: Value
    peak: Value
    ends: Value
    dip: Value
    top: Value
    side: Value | None
    bow: Value | None
    spots: Value
    residual: float
    hidden: float
    off_card: float


class _Fit(NamedTuple):
    names: tuple[str, ...]
    best: Array
    covariance: Array
    residual: float

    def named(self) -> dict[str, float]:
        return dict(zip(self.names, map(float, self.best), strict=False))


def measure(sheet: Sheet, kind: Literal["burst", "pass"]) -> Measured:
    """The fan that sprayed a test card, each measure with its standard error.

    Parameters
    ----------
    sheet : Sheet
        The card laid flat, densities [-], lengths [m].
    kind : Literal["burst", "pass"]
        Whether the gun was held still or passed straight across the long side.

    Returns
    -------
    Measured
        Lengths [m], tilt [rad], exponents and shares [-]; errors are one standard deviation, from
        the spread of misfits over blocks of 12 mm (cluster-robust covariance) and from what tone,
        light and the scale of lens and print may still be off by (assumed).

    Raises
    ------
    RangeError
        There is no fan, it is too pale, it hides the paper or runs off the page.
    NotConverged
        No fan of this form fits.

    Validity
        One fan whose profile is a double beta; its ends must lie on the page. An error allows
        0.3 % for lens and printer, not a page printed to fit.

    Source
        double-beta; cluster-covariance.
    Checked
        tests/unit/engines/card/test_measure.py
    """
    if kind not in ("burst", "pass"):
        raise RangeError(f"'{kind}' is no kind of test card", instead="use burst or pass")
    spat = specks(sheet.density, sheet.free, sheet.pixel)
    cells = _cells(sheet, spat.mask)
    start = _start(cells, kind)
    near = _near(cells, start) if kind == "burst" else cells
    soft = math.hypot(_CELL * sheet.pixel / math.sqrt(12.0), _RISE * sheet.rise)
    fit = _fitted(near, start, kind, None if sheet.dabbed else 0.0, soft)
    return _told(sheet, cells, fit, kind, _spat(sheet, spat, fit.named(), kind))


def _cells(sheet: Sheet, spat: NDArray[np.bool_]) -> Cells:
    """Means over cells of bare paper's share, where at least half a cell is free."""
    rows, columns = (size // _CELL for size in sheet.density.shape)
    blocks = (rows, _CELL, columns, _CELL)
    cut = np.s_[: rows * _CELL, : columns * _CELL]
    free = (sheet.free & ~spat)[cut].reshape(blocks)
    clear = np.exp(-sheet.density)[cut].reshape(blocks)
    count = free.sum(axis=(1, 3))
    mean = (clear * free).sum(axis=(1, 3)) / np.maximum(count, 1)
    size = _CELL * sheet.pixel
    y, x = np.mgrid[0:rows, 0:columns]
    kept = count > _CELL**2 // 2
    return Cells(
        (x[kept] + 0.5) * size - sheet.layout.width / 2,
        (y[kept] + 0.5) * size - sheet.layout.height / 2,
        mean[kept],
    )


def _start(cells: Cells, kind: str) -> dict[str, float]:
    """A fan with the same first and second moments as the paint."""
    film = -np.log(np.maximum(cells.clear, 0.02))
    most = float(np.quantile(film, 0.995))
    if most < _FAINT:
        raise RangeError(
            f"there is hardly any paint on the card, D is {most:.2f} at most",
            instead="spray a little longer, till the middle is well coloured",
        )
    weight = np.where(film > 0.15 * most, film, 0.0)
    weight = weight / weight.sum()
    x, y = float(weight @ cells.x), float(weight @ cells.y)
    dx, dy = cells.x - x, cells.y - y
    spread = np.array([[weight @ (a * b) for b in (dx, dy)] for a in (dx, dy)])
    if kind == "pass":
        half = math.sqrt(spread[0, 0] * 7.0)
        return {"x": x, "tilt": 0.0, "half": half, "across": 2.5, "peak": most, "ends": 0.0}
    values, vectors = np.linalg.eigh(spread)
    long = vectors[:, 1] * np.sign(vectors[0, 1] or 1.0)
    return {
        "x": x, "y": y, "tilt": math.atan2(long[1], long[0]),
        "half": math.sqrt(values[1] * 7.0), "wide": math.sqrt(values[0] * 7.0),
        "across": 2.3, "along": 2.3, "peak": most, "ends": 0.0, "side": 0.0, "bow": 0.0,
    }  # fmt: skip


def _near(cells: Cells, start: dict[str, float]) -> Cells:
    """The cells of the fan and a hand's breadth of paper around it."""
    u, v = _model.along_fan(cells, start["x"], start["y"], start["tilt"])
    inside = np.abs(u) < 1.3 * start["half"] + _AROUND
    inside &= np.abs(v) < 1.3 * start["wide"] + _AROUND
    return Cells(cells.x[inside], cells.y[inside], cells.clear[inside])


class _Misses(NamedTuple):
    """How far a fan misses the cells, by its parameters: the named ones, then the mist's."""

    cells: Cells
    shape: _model.Shape
    names: tuple[str, ...]
    soft: float
    mists: Array

    def bare(self, p: Array) -> Array:
        """Share of paper bare, were there no floor."""
        named = dict(zip(self.names, p, strict=False))
        fan = _model.seen(self.shape, self.cells, named, self.soft)
        return np.asarray(fan * np.exp(-(p[len(self.names) :] @ self.mists)))

    def floor(self, p: Array) -> float:
        """The paint's own reflectance, if it is sought."""
        return float(dict(zip(self.names, p, strict=False)).get("floor", 0.0))

    def misses(self, p: Array) -> Array:
        """Of every cell."""
        floor = self.floor(p)
        return np.asarray(floor + (1.0 - floor) * self.bare(p) - self.cells.clear)

    def slopes(self, p: Array) -> Array:
        """By every parameter: by differences for the fan, exactly for floor and mist."""
        here, left = self.bare(p), 1.0 - self.floor(p)
        columns = []
        for k, name in enumerate(self.names):
            step = _TINY * max(1.0, abs(p[k])) * (-1.0 if p[k] > 0.0 else 1.0)
            aside = p + step * (np.arange(len(p)) == k)
            columns.append(
                1.0 - here if name == "floor" else left * (self.bare(aside) - here) / step
            )
        return np.stack((*columns, *(-left * here * self.mists))).T


def _fitted(
    cells: Cells, start: dict[str, float], kind: str, floor: float | None, soft: float
) -> _Fit:
    """The fan that misses least; given a floor to start from, the paint's own is found too."""
    names = (
        *(_model.BURST if kind == "burst" else _model.PASS),
        *([] if floor is None else ["floor"]),
    )
    shape = _model.burst if kind == "burst" else _model.stripe
    fan = _Misses(cells, shape, names, soft, _model.mists(cells))
    first = np.array([*((start | {"floor": floor})[name] for name in names), *[0.0] * MISTS])
    limits = np.array([LIMITS[name] for name in (*names, *["mist"] * MISTS)]).T
    first = np.clip(first, limits[0] + 1e-9, limits[1] - 1e-9)
    scale = np.array([_STEPS[name] for name in (*names, *["mist"] * MISTS)])
    found = least_squares(
        fan.misses, first, fan.slopes, limits, x_scale=scale, loss="soft_l1", f_scale=0.03,
        max_nfev=120, xtol=1e-7, ftol=1e-8,
    )  # fmt: skip
    if not found.success or not np.isfinite(found.x).all():
        raise NotConverged(
            "no even fan could be laid over the pattern",
            instead="photograph it again, or spray anew",
        )
    miss = fan.misses(found.x)
    return _Fit(
        names, found.x, _covariance(found.jac, miss, cells), float(np.sqrt(np.mean(miss**2)))
    )


_STEPS: Final = {
    "x": 0.01, "y": 0.01, "tilt": 0.05, "half": 0.02, "wide": 0.005, "across": 0.3, "along": 0.3,
    "peak": 0.3, "ends": 0.2, "side": 0.2, "bow": 0.004, "floor": 0.05, "mist": 0.01,
}  # fmt: skip


def _covariance(slopes: Array, miss: Array, cells: Cells) -> Array:
    """Covariance of the parameters: from misfits by blocks, and from what no misfit shows."""
    bread = np.linalg.pinv(slopes.T @ slopes)
    _, which = np.unique(blocks_of(cells), return_inverse=True)
    scores = np.zeros((int(which.max()) + 1, slopes.shape[1]))
    np.add.at(scores, which, slopes * miss[:, None])
    count = len(scores)
    spread = scores.T @ scores * count / max(count - 1, 1)
    unseen = _unseen(cells) @ slopes
    return np.asarray(bread @ (spread + unseen.T @ unseen) @ bread)


def _unseen(cells: Cells) -> Array:
    """One standard deviation of each thing that a fit would take for paint.

    Assumptions: the tone is off by a power of 0.03 and bent by 0.008, the paint's own reflectance
    by 0.01, and the light by 0.004 in each term of third order.
    """
    clear, x, y = np.clip(cells.clear, 0.02, 1.0), cells.x / 0.15, cells.y / 0.1
    light = [0.004 * clear * term for term in (x**3, x**2 * y, x * y**2, y**3)]
    tone = [0.03 * clear * np.log(clear), 0.008 * np.sin(2 * np.pi * clear), 0.01 * (1.0 - clear)]
    return np.stack(light + tone)


def _told(sheet: Sheet, cells: Cells, fit: _Fit, kind: str, spat: Value) -> Measured:
    named = fit.named()
    error = dict(zip(fit.names, np.sqrt(np.diag(fit.covariance)), strict=False))

    def value(name: str, factor: float = 1.0, scale: float = 0.0) -> Value:
        off = math.hypot(float(error[name]), scale * named[name])
        return Value(factor * named[name], abs(factor) * off)

    def ratio(slope: float, shift: float, function: Callable[[float], float]) -> Value:
        ends = (function(slope - shift), function(slope + shift))
        return Value(function(slope), abs(ends[1] - ends[0]) / 2)

    off = _off_card(sheet, named, kind)
    if off > _OFF_CARD:
        raise RangeError(
            f"{off:.0%} of the fan lies beyond the page",
            instead="aim at the cross, or hold the gun nearer so that the fan fits",
        )
    burst = kind == "burst"
    across, along = named["across"] + 0.5, named.get("along", 1.0)
    even = (_model.burst if burst else _model.stripe)(cells, named)
    ends, dip = middle_and_ends(cells, _film(cells, fit), even, named)
    return Measured(
        kind=kind,
        length=value("half", 2.0, _SCALE),
        width=value("wide", 2.0, _SCALE) if burst else None,
        across=value("across"),
        along=value("along") if burst else None,
        x=value("x"),
        y=value("y") if burst else None,
        tilt=value("tilt"),
        peak=value("peak"),
        ends=ends,
        dip=dip,
        top=ratio(named["ends"], error["ends"], lambda k: _lopsided(across, -k)),
        side=ratio(named["side"], error["side"], lambda k: _lopsided(along, -k)) if burst else None,
        bow=value("bow", 1.0 / (2.0 * named["wide"])) if burst else None,
        spots=spat,
        residual=fit.residual / max(1.0 - math.exp(-named["peak"]), 0.05),
        hidden=sheet.hidden,
        off_card=off,
    )


def _film(cells: Cells, fit: _Fit) -> Array:
    """D at every cell without the mist."""
    floor = fit.named().get("floor", 0.0)
    clear = np.maximum((cells.clear - floor) / (1.0 - floor), _PAPER_BARE)
    return np.asarray(-np.log(clear) - fit.best[len(fit.names) :] @ _model.mists(cells))


def _spat(sheet: Sheet, spat: Specks, named: dict[str, float], kind: str) -> Value:
    """Specks within the fan, or within the stripe of a pass."""
    x, y = spat.x - sheet.layout.width / 2, spat.y - sheet.layout.height / 2
    at = Cells(x, y, np.ones_like(x))
    u, v = _model.along_fan(at, named["x"], named.get("y", 0.0), named["tilt"])
    if kind == "pass":
        inside = np.abs(u) < named["half"]
        return spat.per_area(inside, 2 * named["half"] * sheet.layout.band.height)
    inside = (u / named["half"]) ** 2 + (v / named["wide"]) ** 2 < 1.0
    return spat.per_area(inside, math.pi * named["half"] * named["wide"])


def _lopsided(exponent: float, slope: float) -> float:
    """Paint on one side over that on the other, of (1 - t^2)^(exponent - 1) exp(slope t)."""
    t = (np.arange(400) + 0.5) / 400
    film = (1.0 - t * t) ** (exponent - 1.0)
    return float((film * np.exp(slope * t)).sum() / (film * np.exp(-slope * t)).sum())


def _off_card(sheet: Sheet, named: dict[str, float], kind: str) -> float:
    """Share of the fan whose place is not on the page."""
    t = (np.arange(200) + 0.5) / 100 - 1.0
    film = (1.0 - t * t) ** (named["across"] - 0.5)
    x = named["x"] + t * named["half"] * math.cos(named["tilt"])
    gone = np.abs(x) > sheet.layout.width / 2
    if kind == "burst":
        y = named["y"] + t * named["half"] * math.sin(named["tilt"])
        gone |= np.abs(y) > sheet.layout.band.height / 2
    return float(film[gone].sum() / film.sum())
