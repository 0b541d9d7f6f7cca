"""The film: wet and dry, coverage, runs, levelling, hiding, acceptance of gauge readings."""

from coatwright.engines.film.acceptance import (
    Verdict,
    areas_to_measure,
    iso19840_verdict,
    pa2_verdict,
    spot_limits,
)
from coatwright.engines.film.build import (
    coverage,
    dry_from_wet,
    landed_solids,
    thinned_solids,
    transfer_efficiency,
    volume_for,
    wet_from_dry,
)
from coatwright.engines.film.hang import hang_limit, hang_rate
from coatwright.engines.film.hiding import (
    contrast_ratio,
    hiding_film,
    reflectance,
    scatter_for,
)
from coatwright.engines.film.levelling import half_life, levelling_time, texture_left
from coatwright.engines.film.sag import (
    anti_sag_index,
    drainage,
    mobile_share,
    sag_limit,
    sag_speed,
    slide,
    slide_while_drying,
    yield_limit,
)

__all__ = [
    "Verdict",
    "anti_sag_index",
    "areas_to_measure",
    "contrast_ratio",
    "coverage",
    "drainage",
    "dry_from_wet",
    "half_life",
    "hang_limit",
    "hang_rate",
    "hiding_film",
    "iso19840_verdict",
    "landed_solids",
    "levelling_time",
    "mobile_share",
    "pa2_verdict",
    "reflectance",
    "sag_limit",
    "sag_speed",
    "scatter_for",
    "slide",
    "slide_while_drying",
    "spot_limits",
    "texture_left",
    "thinned_solids",
    "transfer_efficiency",
    "volume_for",
    "wet_from_dry",
    "yield_limit",
]
