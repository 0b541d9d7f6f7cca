"""Pictures of what a shop has learned: one parameter, and a season of jobs."""

from coatwright.faces.drawing.learned.belief import (
    Shown,
    belief_rows,
    belief_svg,
    contradiction_text,
    describe_belief,
)
from coatwright.faces.drawing.learned.season import (
    Foretold,
    SeasonJob,
    describe_season,
    season_rows,
    season_svg,
)

__all__ = [
    "Foretold",
    "SeasonJob",
    "Shown",
    "belief_rows",
    "belief_svg",
    "contradiction_text",
    "describe_belief",
    "describe_season",
    "season_rows",
    "season_svg",
]
