"""Sets of histories: one for each cause, a larger one held back, and those with nothing wrong."""

import random
from collections.abc import Callable, Iterator
from typing import NamedTuple

from coatwright.intake.defects import load_defects
from coatwright.model.defect import Pathology
from coatwright.record import events as ev
from coatwright.record.diagnosis.causes import Diagnosis, diagnose
from coatwright.record.diagnosis.story import tell
from histories import script
from histories.faults import FAULTS, Case, Fault
from histories.script import INSTRUMENTS, Climate, Job, Writer
from histories.sheets import BAR, DAY, HOUR, MIN, NOUGHT

PATHOLOGY: Pathology = load_defects()


class History(NamedTuple):
    """What happened, what was seen, and the cause that was planted (None: none)."""

    events: list[ev.Event]
    defect: str
    cause: str | None
    product: str
    answers: dict[str, bool]

    def diagnosed(self, pathology: Pathology = PATHOLOGY) -> Diagnosis:
        seen = self.events[-1]
        story = tell(self.events, "door", "skin", seen.at)
        return diagnose(
            story, pathology.defects[self.defect], pathology, self.product, self.answers
        )


def planted(case: Case, fault: Fault, seed: int, losses: int = 0, misses: int = 0) -> History:
    """One job with one fault; some instruments not used, some other bounds nearly broken."""
    rng = random.Random(f"{case.defect} {case.cause} {seed}")
    job = fault.job(rng)
    job.seen_in = fault.seen_in
    for one in rng.sample(NEAR_MISSES, misses):
        one(job, rng)
    fault.plant(job, rng)
    lost = rng.sample(sorted(set(INSTRUMENTS) - fault.needs), losses)
    job.kept -= set(lost)
    product = job.last.product
    events = Writer(job, rng).write(case.defect)
    return History(events, case.defect, case.cause, product, dict.fromkeys(fault.says, True))


def scripted() -> Iterator[History]:
    """One for each cause of each defect; every third with an instrument missing."""
    for number, (case, fault) in enumerate(FAULTS.items()):
        yield planted(case, fault, 1, losses=number % 3 == 0, misses=number % 2)


def held_back(count: int, seed: int) -> Iterator[History]:
    """Faults drawn at random, up to three instruments missing, up to two near misses."""
    rng = random.Random(seed)
    for number in range(count):
        case = rng.choice(list(FAULTS))
        losses, misses = rng.choice((0, 0, 1, 2, 3)), rng.choice((0, 1, 2))
        yield planted(case, FAULTS[case], seed + number, losses, misses)


def muddled(count: int, seed: int) -> Iterator[History]:
    """Two things wrong in each: the cause, and something that does not cause what is to be seen."""
    rng = random.Random(seed)
    beside_of = {case: [other for other in FAULTS if _beside(case, other)] for case in FAULTS}
    cases = [case for case, others in beside_of.items() if others]
    for number in range(count):
        case = rng.choice(cases)
        fault, beside = FAULTS[case], FAULTS[rng.choice(beside_of[case])]
        both = Fault(
            _both(fault, beside), fault.job, fault.needs | beside.needs, fault.says, fault.seen_in
        )
        yield planted(case, both, seed + number, rng.choice((0, 1, 2)), rng.choice((0, 1)))


def _beside(case: Case, other: Case) -> bool:
    """Whether the other fault fits the same job and shows in no sign of this defect."""
    signs = {key for cause in PATHOLOGY.defects[case.defect].cause for key in cause.expects}
    causes = {one.key: one for one in PATHOLOGY.defects[other.defect].cause}
    return (
        FAULTS[case].job is FAULTS[other].job
        and not FAULTS[other].says
        and not signs & set(causes[other.cause].expects)
    )


def _both(fault: Fault, beside: Fault) -> Callable[[Job, random.Random], None]:
    def plant(job: Job, rng: random.Random) -> None:
        job.seen_in = beside.seen_in
        beside.plant(job, rng)
        job.seen_in = fault.seen_in
        fault.plant(job, rng)

    return plant


def in_bounds(count: int, seed: int) -> Iterator[History]:
    """Nothing wrong in the record: some bounds nearly broken, some things not recorded."""
    rng = random.Random(seed)
    defects = sorted(PATHOLOGY.defects)
    for number in range(count):
        job = rng.choice((script.lacquered, script.solid))(rng)
        for one in rng.sample(NEAR_MISSES, rng.choice((0, 1, 2, 3))):
            one(job, rng)
        job.kept -= set(rng.sample(INSTRUMENTS, rng.choice((0, 0, 2, 5, 9))))
        defect = defects[number % len(defects)]
        job.seen_in = rng.choice((-1, -1, 1))
        product = job.last.product
        yield History(Writer(job, rng).write(defect), defect, None, product, {})


# Near misses: close to a bound, and within it by more than the noise of its instrument.


def _humid(job: Job, rng: random.Random) -> None:
    one = rng.choice(job.layers)
    one.climate = Climate(21.0 + NOUGHT, 22.5 + NOUGHT, 0.765)


def _dewy(job: Job, rng: random.Random) -> None:
    """At 20 degC and 66 % the dew point is 13.5 degC (Magnus): 3.9 K below this metal."""
    one = rng.choice(job.layers)
    one.climate = Climate(20.0 + NOUGHT, 17.6 + NOUGHT, 0.66)


def _cool(job: Job, rng: random.Random) -> None:
    one = job.layers[-1]
    metal = one.sheet.metal_least + 1.1
    one.climate = Climate(metal + 0.4, metal, 0.5)


def _warm(job: Job, rng: random.Random) -> None:
    job.layers[-1].climate = Climate(29 + NOUGHT, 31.0 + NOUGHT, 0.35)


def _brief(job: Job, rng: random.Random) -> None:
    for coat in job.layers[-1].coats:
        coat.flash = 1.06


def _full(job: Job, rng: random.Random) -> None:
    one = rng.choice(job.layers)
    room = 0.86 * one.sheet.run_limit / one.sheet.wet
    most = 0.90 * one.sheet.most / (one.sheet.dry * len(one.coats))
    for coat in one.coats:
        coat.laid = min(room, most, 1.12)


def _starved(job: Job, rng: random.Random) -> None:
    for coat in job.layers[-1].coats:
        coat.pressure = job.layers[-1].sheet.pressure_least + 0.09 * BAR


def _far(job: Job, rng: random.Random) -> None:
    for coat in job.layers[-1].coats:
        coat.distance = 0.228


def _slow(job: Job, rng: random.Random) -> None:
    for coat in job.layers[-1].coats:
        coat.trigger = 1.17


def _short(job: Job, rng: random.Random) -> None:
    job.layers[-1].hardener = 0.94


def _thick(job: Job, rng: random.Random) -> None:
    one = job.layers[-1]
    one.cup = one.sheet.cup[1] - 0.2


def _waited(job: Job, rng: random.Random) -> None:
    for rub in job.ground_rubs:
        rub.before += 4.5 * HOUR
    job.stripped = 9 * HOUR


def _late(job: Job, rng: random.Random) -> None:
    if job.layers[-1].product == "lacquer":
        job.layers[-1].wait = 21.5 * HOUR
    job.seen_after = 30 * DAY


def _aired(job: Job, rng: random.Random) -> None:
    rng.choice(job.layers).climate.speed = 0.48


def _dust(job: Job, rng: random.Random) -> None:
    job.layers[-1].dust = 26 * MIN


def _primed_spot(job: Job, rng: random.Random) -> None:
    if len(job.layers) > 2:
        job.layers[2].broke = "epoxy"


def _little(job: Job, rng: random.Random) -> None:
    for coat in job.layers[-1].coats:
        coat.laid = 0.93


NEAR_MISSES = (
    _humid, _dewy, _cool, _warm, _brief, _full, _starved, _far, _slow, _short, _thick, _waited,
    _late, _aired, _dust, _primed_spot, _little,
)  # fmt: skip
