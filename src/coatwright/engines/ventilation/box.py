"""A room as one well-mixed box: what is let loose in it, and how fast it is cleared."""

import math
from collections.abc import Sequence
from typing import NamedTuple

import numpy as np
from numpy.typing import ArrayLike, NDArray

from coatwright.errors import RangeError

Float = NDArray[np.float64]


class Room(NamedTuple):
    """A room: volume [m3], changes of its air [1/s], and how many times more air than a perfectly
    mixed room it takes [-].
    """

    volume: float
    air_changes: float
    mixing: float = 1.0

    @property
    def clearing(self) -> float:
        """Rate at which it really clears [1/s]."""
        return self.air_changes / self.mixing


class Release(NamedTuple):
    """Something let loose: from and until [s], its rate at the beginning [m3/s of vapour or kg/s],
    and how fast that rate falls [1/s]; 0 = steady.
    """

    begin: float
    end: float
    rate: float
    fading: float = 0.0


def _checked(room: Room) -> None:
    if not (room.volume > 0 and room.air_changes >= 0 and room.mixing >= 1):
        raise RangeError(
            f"a room of {room.volume:g} m3 with {room.air_changes * 3600:g} changes an hour "
            f"and mixing {room.mixing:g}",
            instead="the volume must be above 0, the changes 0 or more, the mixing 1 or more",
        )


def concentration(clock: ArrayLike, releases: Sequence[Release], room: Room) -> Float:
    """What hangs in the air of a room at given times.

    Parameters
    ----------
    clock : (n,) array [s]
        Times.
    releases : sequence of Release
        What is let loose, when and how fast: times [s], rate [m3/s] or [kg/s], fading [1/s].
    room : Room
        Volume [m3], air changes [1/s], mixing [-].

    Returns
    -------
    (n,) array [-] or [kg/m3]
        Sum over the releases of the closed solution of V dC/dt = G - Q C.

    Raises
    ------
    RangeError
        A room of no volume, or a rate below 0.

    Validity
        The mean of the room: at the gun, at the floor (vapour is heavier than air) and in corners
        it is higher. Mixing above 1 stands for short-circuiting of the air.
    Source
        well-mixed-box.
    Checked
        tests/published/test_ventilation.py, tests/properties/conditions/test_climate.py.
    """
    _checked(room)
    times = np.asarray(clock, dtype=float)
    total = np.zeros_like(times)
    for release in releases:
        if not (release.rate >= 0 and release.fading >= 0 and release.end >= release.begin):
            raise RangeError("a release below nothing", instead="rate and fading must be 0 or more")
        total += _one(times, release, room)
    return total


def _one(times: Float, release: Release, room: Room) -> Float:
    inside = np.clip(times, release.begin, release.end) - release.begin
    after = np.maximum(times - release.end, 0.0)
    built = release.rate / room.volume * _built(inside, release.fading, room.clearing)
    return np.asarray(built * np.exp(-room.clearing * after))


def _built(elapsed: Float, fading: float, clearing: float) -> Float:
    """Integral of exp(-fading s) exp(-clearing (t - s)) over s from 0 to t."""
    gap = clearing - fading
    if abs(gap) * float(elapsed.max(initial=0.0)) < 1e-9:
        return np.asarray(elapsed * np.exp(-fading * elapsed))
    return np.asarray((np.exp(-fading * elapsed) - np.exp(-clearing * elapsed)) / gap)


def steady(rate: float, room: Room) -> float:
    """What hangs in the air at last if the release goes on and on.

    Parameters
    ----------
    rate : float [m3/s, kg/s]
        Let loose, vapour by volume or anything by mass.
    room : Room
        Volume [m3], air changes [1/s], mixing [-].

    Returns
    -------
    float [-, kg/m3]
        rate x mixing / (volume x air changes); infinite without ventilation.

    Raises
    ------
    RangeError
        As concentration.

    Source
        well-mixed-box.
    Checked
        tests/published/test_ventilation.py.
    """
    _checked(room)
    if rate <= 0:
        return 0.0
    flow = room.volume * room.clearing
    return rate / flow if flow > 0 else math.inf


def clearing_time(factor: float, room: Room) -> float:
    """Time in which what hangs in the air falls by a factor, once nothing more is let loose.

    Parameters
    ----------
    factor : float [-]
        How many times less it must become, 1 or more.
    room : Room
        Volume [m3], air changes [1/s], mixing [-].

    Returns
    -------
    float [s]
        ln(factor) x mixing / air changes; infinite without ventilation.

    Raises
    ------
    RangeError
        A factor below 1, or as concentration.

    Validity
        A measured clearing time (smoke fill, fans off, then timed) stands above any computed one.
    Source
        well-mixed-box, hse-bodyshop-myths.
    Checked
        tests/published/test_ventilation.py.
    """
    _checked(room)
    if not factor >= 1:
        raise RangeError(f"clearing by a factor of {factor:g}", instead="it must be 1 or more")
    if factor == 1:
        return 0.0
    return math.log(factor) / room.clearing if room.clearing > 0 else math.inf


def face_air_changes(air_speed: float, area: float, volume: float) -> float:
    """Changes of air of a booth from the air speed across it.

    Parameters
    ----------
    air_speed : float [m/s]
        Mean over the cross-section, 0 or more.
    area : float [m2]
        The cross-section the air passes.
    volume : float [m3]
        Of the booth, above 0.

    Returns
    -------
    float [1/s]
        air_speed x area / volume.

    Raises
    ------
    RangeError
        Values below 0 or a volume of 0.

    Source
        well-mixed-box (definition).
    Checked
        tests/published/test_ventilation.py.
    """
    if not (air_speed >= 0 and area >= 0 and volume > 0):
        raise RangeError("a booth without volume", instead="give a volume above 0")
    return air_speed * area / volume
