"""A Figure in words: the one place that turns a value into text, and the only one that rounds.

A figure is never shown as a bare number: unit, currency or the counted thing always stand beside
it. Files keep the ASCII unit ("um", "m2"); a person reads the symbol of the trade ("µm", "m²").
"""

import math
import re
from dataclasses import dataclass, replace
from datetime import date, datetime
from typing import Final, NamedTuple

from coatwright.errors import CoatwrightError
from coatwright.faces.telling import ENGLISH, Tongue, quantities
from coatwright.figures import Figure
from coatwright.sentences import Told, say, tell
from coatwright.units import PURPOSES, UNITS, System, dimension_of, express, find_unit, shown

SPACE: Final = "\N{NO-BREAK SPACE}"
DASH: Final = "\N{EN DASH}"
MINUS: Final = "\N{MINUS SIGN}"

_SYMBOLS: Final = {
    "um": "µm", "m2": "m²", "ft2": "ft²", "m3": "m³", "degC": "°C", "degF": "°F", "deg": "°",
    "m2/L": "m²/L", "ft2/US gal": "ft²/US gal", "mm2/s": "mm²/s", "mPa s": "mPa·s",
}  # fmt: skip

_STAMP: Final = re.compile(r"\b\d{4}-\d\d-\d\d \d\d:\d\d\b")
_PROSE_UNITS: Final = re.compile(r"(\d) (um|m2|m3|ft2|degC|degF)\b(?!/)")

# purpose -> (significant digits, most decimals); what a gauge, scale or clock in a shop can show.
_DIGITS: Final[dict[str, tuple[int, int]]] = {
    "film": (2, 2), "length": (3, 1), "run": (3, 2), "area": (3, 2), "volume": (3, 2),
    "dose": (3, 1), "mass": (5, 1), "time": (2, 1), "seconds": (2, 1), "hours": (2, 1),
    "days": (2, 1), "pressure": (2, 2), "flow": (3, 1), "air flow": (3, 1), "speed": (2, 2),
    "fraction": (2, 1), "angle": (2, 0), "temperature": (3, 1), "temperature difference": (2, 1),
    "count": (3, 1), "density": (3, 2), "concentration": (3, 2),
}  # fmt: skip
# A whole number of these, known without spread, is set or counted: "10 min", never "10.0 min".
_WHOLE: Final = (
    "count",
    "time",
    "seconds",
    "hours",
    "days",
    "length",
    "run",
    "fraction",
    "mass",
    "dose",
)
_USUAL_DIGITS: Final = (3, 2)

# From here on a wait is told in days.
_LONG_WAIT: Final = 4 * 86400.0

# Air that holds so long was not followed further: planning says "an hour or more".
_AN_HOUR: Final = 3600.0

# A drying time that comes out longer, or never, is given as this one.
_NEVER: Final = 60 * 86400.0

# From here on seconds of trigger are told in minutes.
_MANY_SECONDS: Final = 120.0

_DAYS: Final = (
    say("Mon"), say("Tue"), say("Wed"), say("Thu"), say("Fri"), say("Sat"), say("Sun"),
)  # fmt: skip
_MONTHS: Final = (
    say("Jan"), say("Feb"), say("Mar"), say("Apr"), say("May"), say("Jun"),
    say("Jul"), say("Aug"), say("Sep"), say("Oct"), say("Nov"), say("Dec"),
)  # fmt: skip

WEEKDAYS: Final = (
    say("Monday"), say("Tuesday"), say("Wednesday"), say("Thursday"), say("Friday"),
    say("Saturday"), say("Sunday"),
)  # fmt: skip
MONTHS: Final = (
    say("January"), say("February"), say("March"), say("April"), say("May"), say("June"),
    say("July"), say("August"), say("September"), say("October"), say("November"),
    say("December"),
)  # fmt: skip

# From here on days are told in months (shelf lives).
_MANY_DAYS: Final = 90 * 86400.0

# Inches and pounds per gallon are coarse units: they need more decimals than millimetres do.
_MORE_DECIMALS: Final = {"in": 3, "mil": 2, "US fl oz": 1, "US fl oz/min": 1, "kW": 2, "hp": 2}

# ISO 4217: currencies whose minor unit is not a hundredth.
_MINOR: Final = {
    "JPY": 0, "KRW": 0, "ISK": 0, "CLP": 0, "VND": 0, "XAF": 0, "XOF": 0, "UGX": 0,
    "KWD": 3, "BHD": 3, "OMR": 3, "TND": 3, "JOD": 3, "IQD": 3, "LYD": 3,
}  # fmt: skip

BASIS_WORDS: Final = {
    "formula": "computed", "sheet": "from the product sheet", "measured": "measured",
    "assumed": "assumed", "entered": "as entered",
}  # fmt: skip


class Shown(NamedTuple):
    """A figure ready to be set: number, unit ("" for a plain count) and spread, e.g. "46-59"."""

    number: str
    unit: str
    spread: str

    @property
    def text(self) -> str:
        """All of it on one line."""
        unit = self.unit if self.unit == "°" else (f"{SPACE}{self.unit}" if self.unit else "")
        return f"{self.number}{unit}" + (f" ({self.spread})" if self.spread else "")


@dataclass(frozen=True, slots=True)
class Teller:
    """How sentences are worded for one reader: units, currency and language."""

    system: System = "metric"
    currency: str = "GBP"
    tongue: Tongue = ENGLISH

    def tell(self, text: str) -> str:
        """A sentence in the reader's language and units; a plain text is somebody's own words."""
        told = self._told(text)
        own = {mark: self.polish(kept) for mark, kept in told.own.items()}
        return told._replace(own=own).whole(self.polish(told.text))

    def plain(self, text: str) -> str:
        """The same for a table that programs read: units as files write them ("um")."""
        return self._told(text).filled

    def _told(self, text: str) -> Told:
        told = tell(text, self.tongue.translate, self.tongue.number)
        if self.system == "metric":
            return told
        return told._replace(text=quantities(told.text, self.tongue.decimal, self._anew))

    def say(self, template: str, /, **places: object) -> str:
        """A sentence of a face, told: words.say("{n} readings", n=3); template is a literal."""
        return self.tell(say(template, **places))

    def polish(self, text: str) -> str:
        """Prose as a person writes it: symbols of the trade, stamps as clock times."""
        return _prettier(_STAMP.sub(lambda found: self.clock(found[0]), text))

    def clock(self, stamp: str) -> str:
        """A time on the calendar as a person says it: "Mon 4 May 08:45"."""
        if not stamp:
            return ""
        when = datetime.fromisoformat(stamp)
        day, month = _DAYS[when.weekday()], _MONTHS[when.month - 1]
        told = say("{day} {number} {month} {time}", day=day, number=when.day, month=month,
                   time=f"{when:%H:%M}")  # fmt: skip
        return tell(told, self.tongue.translate).filled

    def moment(self, when: datetime) -> str:
        """A time on the calendar with its year: "Mon 4 May 08:45 2026"."""
        day, month = _DAYS[when.weekday()], _MONTHS[when.month - 1]
        told = say("{day} {number} {month} {time} {year}", day=day, number=when.day, month=month,
                   time=f"{when:%H:%M}", year=str(when.year))  # fmt: skip
        return self.tell(told)

    def day(self, when: date) -> str:
        """A day as a letter writes it: "4 May 2026"."""
        month = MONTHS[when.month - 1]
        told = say("{number} {month} {year}", number=when.day, month=month, year=str(when.year))
        return self.tell(told)

    def tick(self, number: float) -> str:
        """A round number beside an axis: "2.5"."""
        return self.tongue.number(f"{number:.1f}".rstrip("0").rstrip("."))

    def fixed(self, number: float, places: int) -> str:
        """A number with so many decimals, as the reader writes it."""
        return self.tongue.number(fixed(number, places))

    def _anew(self, number: float, places: int, symbol: str, purpose: str) -> str:
        """A metric quantity of prose in the reader's units."""
        if purpose == "weight":
            value, unit = express(number, "lb", "mass"), "lb"
            return f"{self.fixed(value, decimals(value, 'mass'))}{SPACE}{unit}"
        known = find_unit(symbol, dimension_of(purpose))
        value = number * known.factor + known.offset
        if dimension_of(purpose).startswith("temperature"):
            figure, unit = shown(value, purpose, self.system)
            least = 1 if purpose == "temperature difference" else 0
            places = max(0 if is_whole(number) else places, 0 if is_whole(figure) else least)
            return f"{self.fixed(figure, places)}{SPACE}{sign(unit)}"
        made = Words(self.system, self.currency, self.tongue).value(value, purpose)
        return made.replace(f"{self.tongue.decimal}0{SPACE}", SPACE)


@dataclass(frozen=True, slots=True)
class Words(Teller):
    """How figures are worded for one reader, beside sentences."""

    def show(self, figure: Figure) -> Shown:
        """The figure as number, unit and spread."""
        if not math.isfinite(figure.value):
            return self._words(say("no limit") if figure.value > 0 else say("unknown"))
        if figure.purpose == "money":
            return self._money(figure)
        figure = _at_hand(figure, self.system)
        if figure.purpose == "days" and abs(figure.value) >= _MANY_DAYS:
            months = self.fixed(express(figure.value, "months", "time"), 0)
            return Shown(months, self._words(say("months")).number, "")
        number, symbol = self._in_unit(figure.value, figure.purpose)
        places = decimals(number, figure.purpose, symbol)
        if figure.spread is None and _needs_no_decimals(number, figure.purpose):
            places = 0
        if figure.purpose == "fraction" and 0.0 < number < 0.1:
            return self._words(say("under {least:.1f}", least=0.1))._replace(unit="%")
        unit = self._words(say(symbol)).number if symbol == "d" else sign(symbol)
        return Shown(self.fixed(number, places), unit, self._spread(figure, places))

    def text(self, figure: Figure) -> str:
        """The figure in words, e.g. "52 µm (46-59)"."""
        return self.show(figure).text

    def brief(self, figure: Figure) -> str:
        """The figure without its spread."""
        return self.show(figure)._replace(spread="").text

    def chance(self, figure: Figure) -> str:
        """A probability: never "0 %" or "100 %", because sampling cannot prove either."""
        return self.show_chance(figure).text

    def show_chance(self, figure: Figure) -> Shown:
        """A probability as number, unit and spread."""
        if figure.value < 0.001:
            return self._words(say("under {least:.1f}", least=0.1))._replace(unit="%")
        if figure.value > 0.999:
            return self._words(say("over {most:.1f}", most=99.9))._replace(unit="%")
        return self.show(figure)

    def counted(self, figure: Figure, one: str, many: str) -> str:
        """A count with its noun."""
        return self.show_counted(figure, one, many).text

    def show_counted(self, figure: Figure, one: str, many: str) -> Shown:
        """A count with its noun as number, unit and spread."""
        shown = self.show(figure)
        return shown._replace(unit=one if shown.number == "1" else many)

    def window(self, figure: Figure) -> str:
        """A wait on the calendar: from four days on, in days."""
        return self.show_window(figure).text

    def show_window(self, figure: Figure) -> Shown:
        """A wait on the calendar as number, unit and spread."""
        if figure.purpose in ("time", "hours") and figure.value >= _NEVER:
            return self._words(say("60 d or never"))
        if figure.purpose in ("time", "hours") and figure.value >= _LONG_WAIT:
            figure = replace(figure, purpose="days")
        return self.show(figure)._replace(spread="")

    def hold(self, figure: Figure) -> str:
        """How long air holds: from an hour on, "an hour or more"."""
        return self.show_hold(figure).text

    def show_hold(self, figure: Figure) -> Shown:
        """How long air holds as number, unit and spread."""
        if figure.value >= _AN_HOUR:
            return self._words(say("an hour or more"))
        if figure.value >= _MANY_SECONDS:
            figure = replace(figure, purpose="time")
        return self.show(figure)

    def against(self, figure: Figure, side: str, bound: Figure) -> str:
        """A figure with the bound it is held to: "4 min, at least 10 min"."""
        found, least = self.text(figure), self.brief(bound)
        if side == "above":
            return self.tell(say("{found}, at most {bound}", found=found, bound=least))
        return self.tell(say("{found}, at least {bound}", found=found, bound=least))

    def value(self, value: float, purpose: str) -> str:
        """A bare SI value in words (for the ends of a scale or a range)."""
        return self.brief(Figure(value, purpose, "entered", ""))

    def _in_unit(self, value: float, purpose: str) -> tuple[float, str]:
        if purpose not in PURPOSES:
            raise CoatwrightError(
                f"no unit is known for a figure of purpose '{purpose}'",
                instead=f"use one of {', '.join(PURPOSES)} or money",
            )
        return shown(value, purpose, self.system)

    def _spread(self, figure: Figure, places: int) -> str:
        if figure.spread is None:
            return ""
        ends = [self.fixed(self._in_unit(end, figure.purpose)[0], places) for end in figure.spread]
        same = ends[0] == ends[1]
        return "" if same else f"{ends[0]}{DASH}{ends[1]}"

    def _money(self, figure: Figure) -> Shown:
        places = _MINOR.get(self.currency, 2)
        if figure.spread is None:
            return Shown(self.fixed(figure.value, places), self.currency, "")
        # An estimate with a spread is not known to the penny.
        places = 0 if abs(figure.spread[1]) >= 20.0 else places
        low, high = (self.fixed(end, places) for end in figure.spread)
        spread = "" if low == high else f"{low}{DASH}{high}"
        return Shown(self.fixed(figure.value, places), self.currency, spread)

    def _words(self, text: str) -> Shown:
        """A figure that is words, because no number would be true."""
        return Shown(tell(text, self.tongue.translate, self.tongue.number).filled, "", "")


def _at_hand(figure: Figure, system: System) -> Figure:
    """The figure in the unit a person would say: 310 mL, not 0.31 L; 3 h, not 180 min."""
    size = abs(figure.value)
    purpose = figure.purpose
    if purpose == "volume" and 0.0 < size < (1e-3 if system == "metric" else 2.4e-4):
        purpose = "dose"
    elif purpose == "time" and 0.0 < size < 60.0:
        purpose = "seconds"
    elif purpose == "hours" and 0.0 < size < 3600.0:
        purpose = "time" if size >= 60.0 else "seconds"
    elif purpose == "time" and size >= 7200.0:
        purpose = "days" if size >= 2 * 86400.0 else "hours"
    return figure if purpose == figure.purpose else replace(figure, purpose=purpose)


def clock(stamp: str) -> str:
    """A time on the calendar as a person says it in English; nothing stays nothing."""
    return Words().clock(stamp)


def hour_of(stamp: str) -> str:
    """The hour and minute alone: "08:45"."""
    return stamp[-5:]


def polish(text: str) -> str:
    """Prose as a person writes it: "12 um" of a data file as "12 µm", stamps as clock times."""
    return Words().polish(text)


def _prettier(text: str) -> str:
    return _PROSE_UNITS.sub(lambda found: f"{found[1]}{SPACE}{_SYMBOLS[found[2]]}", text)


def sign(symbol: str) -> str:
    """The symbol a person reads for a unit as files write it."""
    return _SYMBOLS.get(symbol, symbol)


def unit_of(purpose: str, system: System = "metric") -> str:
    """The symbol a purpose is shown in."""
    return sign(shown(0.0, purpose, system)[1])


def si_unit(purpose: str) -> str:
    """The SI unit of a figure's value, as units.py spells it ("" for shares and counts)."""
    rows = UNITS[dimension_of(purpose)].values()
    return next(unit.symbol for unit in rows if unit.factor == 1.0 and unit.offset == 0.0)


def decimals(number: float, purpose: str, symbol: str = "") -> int:
    """How many decimals a number of that purpose deserves."""
    if not math.isfinite(number) or number == 0.0 or (purpose == "count" and is_whole(number)):
        return 0
    digits, most = _DIGITS.get(purpose, _USUAL_DIGITS)
    most = max(most, _MORE_DECIMALS.get(symbol, 0))
    # Rounding first: 9.96 to two digits is 10, not 10.0.
    rounded = float(f"{number:.{digits - 1}e}")
    return min(most, max(0, digits - 1 - math.floor(math.log10(abs(rounded)))))


def _needs_no_decimals(number: float, purpose: str) -> bool:
    """Whole numbers that are set or counted; but a nozzle is "1.0 mm"."""
    short = purpose == "length" and abs(number) < 10.0
    return purpose in _WHOLE and is_whole(number) and not short


def is_whole(number: float) -> bool:
    """Whether it is a whole number but for the rounding of a unit conversion."""
    return abs(number - round(number)) < 1e-9 * max(abs(number), 1.0)


def fixed(number: float, places: int) -> str:
    """A number with so many decimals, thousands set apart, and a true minus sign."""
    text = f"{number:,.{places}f}"
    if text.lstrip("-").strip("0.,") == "":
        text = text.lstrip("-")
    return text.replace("-", MINUS)
