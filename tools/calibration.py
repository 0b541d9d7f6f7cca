"""Do intervals of 80 % hold 80 % of the time? Invented shops, drawn from the class and not.

Each shop has its own parameters, takes readings, learns from them, and is asked three things: the
parameter of a painter, gun and product it has met, their next reading, and the next reading of a
painter or gun it has not met. `python tools/calibration.py` prints the table.
"""

import math
from collections.abc import Iterator, Mapping
from dataclasses import dataclass, field, replace

import numpy as np

from coatwright.engines import learning
from coatwright.engines.learning import ClassPrior, Marginal, Observation, Pool

MEMBERS = {"painter": 2, "gun": 3, "product": 4, "step": 5, "job": 6}
BLUNDER = math.log(1.5)
KINDS = ("parameter", "next reading", "next reading, someone new")
CHANCE = 0.8


@dataclass(frozen=True)
class Twist:
    """How a shop departs from what the class takes for granted."""

    title: str = "as the class has it"
    degrees: float = math.inf
    blunders: float = 0.0
    screened: bool = False
    centre: float = 0.0
    apart: float = 1.0
    days: float = 0.0


TWISTS = (
    Twist(),
    Twist("readings with long tails (Student, 3 degrees, the same deviation)", degrees=3.0),
    Twist("one reading in 20 a blunder: half as much again, or a third less", blunders=0.05),
    Twist("the same, doubtful readings set aside", blunders=0.05, screened=True),
    Twist("centre of the class off by two of its standard deviations", centre=2.0),
    Twist("members twice as far apart as the class has it", apart=2.0),
    Twist("members half as far apart", apart=0.5),
    Twist("readings of one day go wrong together (half their variance)", days=0.5),
)


@dataclass
class Shop:
    """One invented shop: its own spread and effects, drawn when first asked for."""

    rng: np.random.Generator
    prior: ClassPrior
    twist: Twist
    effects: dict[tuple[str, str], float] = field(default_factory=dict)

    def __post_init__(self) -> None:
        own = self.prior.own
        self.spread = own.spread * math.sqrt(own.degrees / self.rng.chisquare(own.degrees))
        wide = self.spread / math.sqrt(own.strength)
        self.centre = own.centre + self.rng.normal(self.twist.centre * wide, wide)
        self.between = {
            group: self.spread * one.ratio * math.exp(one.doubt * self.rng.normal())
            for group, one in self.prior.between.items()
        }

    def parameter(self, keys: Mapping[str, str]) -> float:
        """The true parameter of a painter, gun and product."""
        for member in keys.items():
            if member not in self.effects:
                wide = self.twist.apart * self.between[member[0]]
                self.effects[member] = self.rng.normal(0.0, wide)
        return self.centre + sum(self.effects[member] for member in keys.items())

    def reading(self, keys: Mapping[str, str], day: float) -> float:
        """A reading of it, on a day that shifts all of its readings."""
        own, tails = math.sqrt(1.0 - self.twist.days), self.twist.degrees
        if math.isinf(tails):
            noise = self.rng.normal()
        else:
            noise = self.rng.standard_t(tails) / math.sqrt(tails / (tails - 2.0))
        wrong = BLUNDER if self.rng.random() < self.twist.blunders else 0.0
        blunder = wrong * self.rng.choice((-1.0, 1.0))
        return self.parameter(keys) + self.spread * own * noise + day + blunder

    def day(self) -> float:
        """What all readings of one day share."""
        return self.spread * math.sqrt(self.twist.days) * self.rng.normal()

    def cell(self) -> dict[str, str]:
        """Some painter with some gun and product."""
        return {g: f"{g} {self.rng.integers(MEMBERS[g])}" for g in self.prior.between}

    def readings(self, count: int) -> list[Observation]:
        """So many readings, four a day."""
        found: list[Observation] = []
        while len(found) < count:
            day = self.day()
            cells = [self.cell() for _ in range(4)]
            found += [Observation(self.reading(keys, day), keys) for keys in cells]
        return found


def learned(shop: Shop, count: int) -> Pool:
    """What a shop learns from so many readings."""
    readings = shop.readings(count)
    if shop.twist.screened:
        aside = {place for place, _ in learning.pool_doubtful(readings, shop.prior, 0.05)}
        readings = [one for place, one in enumerate(readings) if place not in aside]
    return learning.pooled(readings, shop.prior)


def asked(shop: Shop, pool: Pool) -> tuple[tuple[Marginal, float], ...]:
    """The three questions: what is known, and the truth. Blunders are not asked for."""
    met = shop.cell()
    new = met | {next(iter(shop.prior.between)): "someone new"}
    shop.twist = replace(shop.twist, blunders=0.0)
    return (
        (learning.believed(pool, met), shop.parameter(met)),
        (learning.foreseen(pool, met), shop.reading(met, shop.day())),
        (learning.foreseen(pool, new), shop.reading(new, shop.day())),
    )


def shops(prior: ClassPrior, twist: Twist, count: int, seed: int) -> Iterator[list[bool]]:
    """For each of so many shops, whether the interval held the truth, for each question."""
    rng = np.random.default_rng(seed)
    low, high = 0.5 - CHANCE / 2, 0.5 + CHANCE / 2
    for _ in range(count):
        shop = Shop(rng, prior, twist)
        pool = learned(shop, int(rng.integers(1, 11)) * 4)
        yield [low < learning.chance_below(*one) < high for one in asked(shop, pool)]


def held(prior: ClassPrior, twist: Twist, count: int, seed: int = 1) -> list[float]:
    """Share of shops whose interval held the truth, for each question."""
    return np.mean(list(shops(prior, twist, count, seed)), axis=0).tolist()


def row(twist: Twist, count: int = 1000) -> str:
    """Shares held by the intervals of 80 % in shops that depart from the class in one way."""
    shares = held(learning.CLASSES["flow"], twist, count)
    return f"| {twist.title} | {' | '.join(f'{100 * share:.0f} %' for share in shares)} |"


def table() -> str:
    """A row for each way that shops depart from the class."""
    head = f"| shops | {' | '.join(KINDS)} |\n|---|---|---|---|\n"
    return head + "".join(f"{row(twist)}\n" for twist in TWISTS)


if __name__ == "__main__":
    print(table())
