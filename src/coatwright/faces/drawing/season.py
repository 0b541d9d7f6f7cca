"""A season of jobs: how far paint and time were foretold wrong, before and after learning."""

from typing import NamedTuple


class Foretold(NamedTuple):
    """A quantity of one job: foretold by the class alone (middle, low, high), by what the jobs
    before it taught, and as it came."""

    before: float
    before_low: float
    before_high: float
    after: float
    after_low: float
    after_high: float
    came: float


class SeasonJob(NamedTuple):
    """One job of a season."""

    number: int
    areas: int
    coats: int
    paint: Foretold
    spraying: Foretold
    hours: Foretold
    film: Foretold
