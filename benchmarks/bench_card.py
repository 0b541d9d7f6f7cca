"""How well a fan is read off its photograph: error against the truth of made-up photographs.

Reference: the fan that each photograph was made with (tests/card_photos.py). Prints the median, the
95 % point and the most of every error, how often the truth lies within two standard errors, and
the seconds that one photograph takes.
"""

import sys
import time
from pathlib import Path

import numpy as np

sys.path.insert(0, str(Path(__file__).resolve().parents[1] / "tests"))

from card_photos import drawn_at_random, taken
from coatwright.engines.card.measure import measure
from coatwright.engines.card.rectify import decode, rectify

SEEDS = {"burst": 96, "pass": 32}
NAMES = ("length %", "width %", "across", "along", "x mm", "y mm", "tilt deg")


def read(seed, kind):
    """Errors in the units of NAMES, the same in standard errors, and the time taken."""
    truth, shot = drawn_at_random(seed, kind)
    photo = np.frombuffer(taken(truth, shot, seed), np.uint8)
    begun = time.perf_counter()
    found = measure(rectify(decode(photo)), kind)
    took = time.perf_counter() - begun
    pairs = [
        (found.length, truth.length * 1e-3, 1e5 / truth.length),
        (found.width, truth.width * 1e-3, 1e5 / truth.width),
        (found.across, truth.across, 1.0),
        (found.along, truth.along, 1.0),
        (found.x, truth.x * 1e-3, 1e3),
        (found.y, truth.y * 1e-3, 1e3),
        (found.tilt, np.radians(truth.tilt), np.degrees(1.0)),
    ]
    off = [np.nan if one is None else (one.value - true) * by for one, true, by in pairs]
    told = [np.nan if one is None else (one.value - true) / one.error for one, true, _ in pairs]
    return off, told, took


def main():
    for kind, count in SEEDS.items():
        off, told, took = map(np.array, zip(*(read(n, kind) for n in range(count)), strict=True))
        print(f"{count} photographs of a {kind}, {np.median(took):.1f} s each")
        print(f"{'':10} {'median':>8} {'95 %':>8} {'most':>8} {'mean':>8} {'in 2 s.e.':>10}")
        for index, name in enumerate(NAMES):
            errors, size = off[:, index], np.abs(off[:, index])
            if np.isnan(errors).all() or (kind == "pass" and name in {"x mm", "tilt deg"}):
                continue
            print(
                f"{name:10} {np.median(size):8.2f} {np.quantile(size, 0.95):8.2f} "
                f"{size.max():8.2f} {errors.mean():8.2f} "
                f"{np.mean(np.abs(told[:, index]) < 2.0):10.0%}"
            )


if __name__ == "__main__":
    main()
