"""What is held of any shop before it has measured anything: a class prior for each parameter.

Every number is an assumption, chosen wide; the shop's own readings take its place as they come.
"""

from collections.abc import Mapping
from typing import Final

from coatwright.engines.learning.pooled import ClassPrior, class_prior

CLASSES: Final[Mapping[str, ClassPrior]] = {
    # centre, its spread, spread of one reading, readings that is worth; spread between members
    "flow": class_prior((0.0, 0.10, 0.08, 6.0), {"gun": 0.15, "product": 0.08, "job": 0.05}),
    "transfer": class_prior(
        (0.0, 0.20, 0.25, 6.0), {"painter": 0.12, "gun": 0.25, "product": 0.12, "job": 0.10}
    ),
    "speed": class_prior((0.0, 0.10, 0.08, 6.0), {"painter": 0.12, "job": 0.04}),
    "minutes": class_prior((0.0, 0.25, 0.30, 6.0), {"painter": 0.15, "step": 0.25, "job": 0.12}),
    "paint": class_prior(
        (0.0, 0.10, 0.12, 6.0), {"painter": 0.10, "gun": 0.12, "product": 0.10, "job": 0.06}
    ),
}
"""Transfer on the logit scale, the rest as log ratios of what was found to what was planned [-].

"job" is what all coats or steps of one job share: its weather, its thinner, how it was measured.
Without it a forecast of a whole job would be too sure of itself. "paint" is for a shop that weighs
its cup and times nothing: paint used against paint planned. Source: learning-classes.
"""
