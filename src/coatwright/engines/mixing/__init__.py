"""Mixing: ratio, volatile content, pouring on the scale, pot life.

Which areas share a mix, and which packs to buy, stand in their own modules, `batches` and `packs`.
"""

from coatwright.engines.mixing.pot_life import (
    HALVING,
    activation_for,
    pot_life,
    pot_life_range,
    speed_up,
)
from coatwright.engines.mixing.pour import on_scale, over_pour, pour, pour_mass, ratio_error
from coatwright.engines.mixing.ratio import (
    mass_parts,
    ready_density,
    ready_solids,
    shares,
    thinned,
    volume_parts,
)
from coatwright.engines.mixing.voc import Exempt, ready_voc_eu, ready_voc_us, voc_of_weights

__all__ = [
    "HALVING",
    "Exempt",
    "activation_for",
    "mass_parts",
    "on_scale",
    "over_pour",
    "pot_life",
    "pot_life_range",
    "pour",
    "pour_mass",
    "ratio_error",
    "ready_density",
    "ready_solids",
    "ready_voc_eu",
    "ready_voc_us",
    "shares",
    "speed_up",
    "thinned",
    "voc_of_weights",
    "volume_parts",
]
