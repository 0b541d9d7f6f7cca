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
from coatwright.engines.evidence.sampling import (
    Sampling,
    areas_to_measure,
    iso19840_sampling,
    pa2_sampling,
    pspc_sampling,
    spots_for_mean,
)

__all__ = [
    "Clause",
    "Sampling",
    "Verdict",
    "areas_to_measure",
    "iso19840_sampling",
    "iso19840_verdict",
    "pa2_sampling",
    "pa2_verdict",
    "pspc_sampling",
    "pspc_verdict",
    "spot_limits",
    "spot_means",
    "spots_for_mean",
]
