"""Compile what is compiled at its first use, so that nobody waits for it later.

usage: python tools/kernels.py; numba keeps the machine code beside the modules.
"""

import numpy as np

from coatwright.actions.plans import plan_job
from coatwright.engines.spray.deposit import GunPath, deposit
from coatwright.engines.spray.footprint import Fan
from coatwright.engines.spray.strokes import Stroke, straight_strokes
from coatwright.engines.spray.surfaces import flat

FAN = Fan(0.25, 0.08, 2.3, 2.5, 0.2)
ALONG = (0.0, 1.0, 0.0)
DOWN = (0.0, 0.0, -1.0)
STROKE = Stroke((-0.3, 0.0, 0.2), (0.3, 0.0, 0.2), DOWN, ALONG, 0.4, 3e-6)


def compile_all() -> None:
    """Call every kernel once, in single and in double precision."""
    plan_job("practice")
    panel, one = flat(0.1, 0.1, (8, 8)), np.ones(1)
    path = GunPath(np.array([[0.0, 0.0, 0.2]]), np.array([DOWN]), np.array([ALONG]), one, one)
    for kernel in ("single", "double"):
        deposit(panel, path, FAN, kernel=kernel)
        straight_strokes(panel, [STROKE], FAN, kernel=kernel)


if __name__ == "__main__":
    compile_all()
