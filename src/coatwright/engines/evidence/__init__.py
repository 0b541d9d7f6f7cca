"""What a shop can measure, and what it proves: acceptance, gauge, comb, cup, stopwatch, board."""

from coatwright.engines.evidence.acceptance import (
    Clause,
    Verdict,
    iso19840_verdict,
    pa2_verdict,
    pspc_verdict,
    spot_limits,
    spot_means,
)
from coatwright.engines.evidence.censored import Censored, level_from_intervals
from coatwright.engines.evidence.fusion import (
    Combed,
    Fused,
    Gauged,
    Stack,
    fuse,
    predicted,
    reading_of,
)
from coatwright.engines.evidence.gauge import (
    Films,
    Gauge,
    Ground,
    comb_intervals,
    dry_intervals,
    films_from_gauge,
    gauge_sees,
    ground_of,
    layer_by_difference,
)
from coatwright.engines.evidence.lognormal import Layer, LayerFound, fuse_lognormal
from coatwright.engines.evidence.measured import Measured, mean_of, standard_of_limits
from coatwright.engines.evidence.sampling import (
    Sampling,
    areas_to_measure,
    iso19840_sampling,
    pa2_sampling,
    pspc_sampling,
    spots_for_mean,
)
from coatwright.engines.evidence.surprise import NO_SURPRISE, Surprise

__all__ = [
    "NO_SURPRISE",
    "Censored",
    "Clause",
    "Combed",
    "Films",
    "Fused",
    "Gauge",
    "Gauged",
    "Ground",
    "Layer",
    "LayerFound",
    "Measured",
    "Sampling",
    "Stack",
    "Surprise",
    "Verdict",
    "areas_to_measure",
    "comb_intervals",
    "dry_intervals",
    "films_from_gauge",
    "fuse",
    "fuse_lognormal",
    "gauge_sees",
    "ground_of",
    "iso19840_sampling",
    "iso19840_verdict",
    "layer_by_difference",
    "level_from_intervals",
    "mean_of",
    "pa2_sampling",
    "pa2_verdict",
    "predicted",
    "pspc_sampling",
    "pspc_verdict",
    "reading_of",
    "spot_limits",
    "spot_means",
    "spots_for_mean",
    "standard_of_limits",
]
