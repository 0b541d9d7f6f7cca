"""What a job may be billed: only what the owner said yes to, and what has been received for it.

The estimate is put to the owner like any other work, under the name ESTIMATE; what is found later
is extra work. Nothing is billed without a recorded yes. Money is in the currency of the job.
"""

from collections.abc import Mapping, Sequence
from dataclasses import dataclass
from typing import Final, Literal

from coatwright.errors import Infeasible
from coatwright.record.state import Decision, Extra, JobState
from coatwright.sentences import say

ESTIMATE: Final = "estimate"
WHOLE: Final = say("the work of the estimate")
"""What the estimate as a whole is called where it is put to the owner and billed."""
"""The name under which the estimate itself is put to the owner."""

CENT: Final = 0.005
"""Less than this is nothing to bill."""


@dataclass(frozen=True, slots=True)
class Terms:
    """How the shop charges: an hour by its second, tax as a share, and what time is called."""

    currency: str
    second: float
    tax: float
    acts: Mapping[str, str]


@dataclass(frozen=True, slots=True)
class Line:
    """One line of a bill, without tax: what, how much of it [s if hours], and the price of one."""

    key: str
    title: str
    quantity: float
    unit: Literal["hours", "sum"]
    price: float

    @property
    def net(self) -> float:
        """Quantity times price."""
        return self.quantity * self.price


@dataclass(frozen=True, slots=True)
class Unbilled:
    """Something done or asked that is in no bill, and why; amount with tax, None if not known."""

    key: str
    title: str
    amount: float | None
    why: str


@dataclass(frozen=True, slots=True)
class Yes:
    """An agreement that a bill rests on: what, up to which price with tax, whose word it was."""

    key: str
    title: str
    most: float
    decision: Decision


@dataclass(frozen=True, slots=True)
class Bill:
    """What is due: lines without tax, tax, what has been received, and what each line rests on."""

    currency: str
    lines: tuple[Line, ...]
    tax_rate: float
    agreed: tuple[Yes, ...]
    received: float
    unbilled: tuple[Unbilled, ...]

    @property
    def net(self) -> float:
        """Sum of the lines."""
        return sum(line.net for line in self.lines)

    @property
    def tax(self) -> float:
        """Tax on the sum."""
        return self.net * self.tax_rate

    @property
    def total(self) -> float:
        """With tax."""
        return self.net + self.tax

    @property
    def due(self) -> float:
        """What is still to be paid; negative: to be given back."""
        return self.total - self.received


def title_of(extra: Extra) -> str:
    """What some work is called: the whole estimate in our words, any other in somebody's own."""
    return WHOLE if extra.name == ESTIMATE and extra.title == WHOLE else extra.title


def yes_to(extra: Extra | None) -> Yes | None:
    """The owner's yes to some work, if that is the last word on it."""
    if extra is None or extra.status != "approved":
        return None
    decision = extra.decisions[-1]
    most = decision.price_most if decision.price_most is not None else extra.price_high
    return Yes(extra.name, title_of(extra), most, decision)


def bill(state: JobState, materials: Sequence[Line], terms: Terms) -> Bill:
    """What may be billed for a job as it stands.

    materials: paint, consumables and whatever else the plan's work used, without tax. Time noted
    for no extra work, and the materials, are billed up to what the yes to the estimate covers; an
    approved extra at the price that was agreed. Raises Infeasible if there is no yes to the
    estimate.
    """
    base = yes_to(state.extras.get(ESTIMATE))
    if base is None:
        raise Infeasible(
            say("nothing can be billed: no yes of the owner to the estimate is in the record"),
            instead=say(
                "put the estimate to the owner and note the answer, with the name and the day"
            ),
        )
    lines = [*_hours(state, terms), *materials]
    lines, above = _held(lines, base, terms)
    found = [extra for name, extra in state.extras.items() if name != ESTIMATE]
    agreed = [yes for extra in found if (yes := yes_to(extra)) is not None]
    for yes in agreed:
        price = min(state.extras[yes.key].price, yes.most)
        lines.append(Line(yes.key, yes.title, 1.0, "sum", price / (1 + terms.tax)))
    return Bill(
        terms.currency,
        tuple(lines),
        terms.tax,
        (base, *agreed),
        state.received(),
        (*above, *_not_agreed(state, found, terms)),
    )


def _hours(state: JobState, terms: Terms) -> list[Line]:
    seconds: dict[str, float] = {}
    for entry in state.time:
        if not entry.extra:
            seconds[entry.act] = seconds.get(entry.act, 0.0) + entry.seconds
    return [
        Line(act, terms.acts.get(act, act), spent, "hours", terms.second)
        for act, spent in seconds.items()
    ]


def _held(lines: list[Line], yes: Yes, terms: Terms) -> tuple[list[Line], list[Unbilled]]:
    """The lines, brought down to what was agreed."""
    over = sum(line.net for line in lines) * (1 + terms.tax) - yes.most
    if over <= CENT:
        return lines, []
    why = say(
        "more than the {most:.2f} {currency} that {by} agreed to",
        most=yes.most,
        currency=terms.currency,
        by=yes.decision.by,
    )
    held = Line(
        "held", say("above what was agreed: not charged"), 1.0, "sum", -over / (1 + terms.tax)
    )
    return [*lines, held], [Unbilled("held", say("work of the estimate"), over, why)]


def _not_agreed(state: JobState, found: Sequence[Extra], terms: Terms) -> list[Unbilled]:
    """Extra work without a yes, and time spent on work nobody proposed."""
    words = {"proposed": say("no answer is recorded yet"), "refused": say("the owner said no")}
    rows = [
        Unbilled(extra.name, extra.title, extra.price, words[extra.status])
        for extra in found
        if extra.status != "approved"
    ]
    loose: dict[str, float] = {}
    for entry in state.time:
        if entry.extra and entry.extra not in state.extras:
            loose[entry.extra] = loose.get(entry.extra, 0.0) + entry.seconds
    rate = terms.second * (1 + terms.tax)
    rows += [
        Unbilled(name, name, seconds * rate, say("it was never put to the owner"))
        for name, seconds in loose.items()
    ]
    return rows
