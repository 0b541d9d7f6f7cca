"""The film: wet and dry, coverage, runs, levelling, hiding."""

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
    "anti_sag_index",
    "contrast_ratio",
    "coverage",
    "drainage",
    "dry_from_wet",
    "half_life",
    "hang_limit",
    "hang_rate",
    "hiding_film",
    "landed_solids",
    "levelling_time",
    "mobile_share",
    "reflectance",
    "sag_limit",
    "sag_speed",
    "scatter_for",
    "slide",
    "slide_while_drying",
    "texture_left",
    "thinned_solids",
    "transfer_efficiency",
    "volume_for",
    "wet_from_dry",
    "yield_limit",
]
