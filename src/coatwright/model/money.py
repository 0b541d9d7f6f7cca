"""Money as a person writes it: an amount, a currency, and what it is paid for.

"48.00 GBP" is a price, "45 GBP/h" a rate. The model keeps the text; `parse` reads it.
"""

import re
from typing import Annotated, Any, Final, NamedTuple

from pydantic import AfterValidator, WithJsonSchema

from coatwright.model.quantity import refused
from coatwright.sentences import say

PER: Final = {
    "": 1.0,
    "each": 1.0,
    "coat": 1.0,
    "mix": 1.0,
    "m2": 1.0,
    "L": 1e-3,
    "h": 3600.0,
    "d": 86400.0,
}
"""What money may be paid for, and how much of it in SI: one, m2, m3, s."""

_FORM: Final = re.compile(r"^ *([0-9]+(?:[.,][0-9]+)?) *([A-Z]{3})(?: */ *([A-Za-z0-9]+))? *$")


class Money(NamedTuple):
    """An amount of a currency, for one `per` (a key of PER; empty for a plain price)."""

    amount: float
    currency: str
    per: str = ""

    @property
    def si(self) -> float:
        """Amount for one SI unit of what it is paid for: for a second, a m2, a m3, or one."""
        return self.amount / PER[self.per]


def parse(text: str) -> Money:
    """Read "45 GBP/h"; ValueError (of pydantic) says what would be right."""
    match = _FORM.match(text)
    if match is None:
        raise refused(
            say("'{text}' is not an amount of money", text=text),
            say('write it as "48.00 GBP" or "45 GBP/h"'),
        )
    per = match.group(3) or ""
    if per not in PER:
        known = ", ".join(name for name in PER if name)
        raise refused(
            say("'{per}' is nothing money is paid for here", per=per),
            say("use one of {known}", known=known),
        )
    return Money(float(match.group(1).replace(",", ".")), match.group(2), per)


def _schema(example: str, per: str, meaning: str) -> WithJsonSchema:
    schema: dict[str, Any] = {
        "type": "string",
        "pattern": rf"^ *[0-9]+([.,][0-9]+)? *[A-Z]{{3}}{per} *$",
        "description": meaning,
        "examples": [example],
    }
    return WithJsonSchema(schema)


def _price(text: str) -> str:
    if parse(text).per:
        raise refused(
            say("'{text}' is a rate, but this is a price", text=text),
            say('write it as "48.00 GBP"'),
        )
    return text


def _hourly(text: str) -> str:
    if parse(text).per != "h":
        raise refused(
            say("'{text}' is not paid by the hour", text=text), say('write it as "45 GBP/h"')
        )
    return text


def _any(text: str) -> str:
    parse(text)
    return text


_UNITS: Final = "|".join(name for name in PER if name)

Price = Annotated[str, AfterValidator(_price), _schema("48.00 GBP", "", "amount and currency")]
HourlyRate = Annotated[
    str, AfterValidator(_hourly), _schema("45 GBP/h", " */ *h", "amount and currency for one hour")
]
Rate = Annotated[
    str,
    AfterValidator(_any),
    _schema(
        "0.80 GBP/m2", f"( */ *({_UNITS}))?", f"amount and currency, if need be for one {_UNITS}"
    ),
]
