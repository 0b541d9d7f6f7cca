"""How a page is set: templates, the reader's language, units and light, and figures in words."""

from collections.abc import Mapping
from dataclasses import dataclass
from datetime import datetime
from functools import cache, partial
from typing import Any, Final, cast
from urllib.parse import unquote

from babel.dates import format_datetime
from jinja2 import ChoiceLoader, Environment, PackageLoader, StrictUndefined
from markupsafe import Markup
from starlette.requests import Request
from starlette.responses import HTMLResponse

from coatwright.faces import drawing
from coatwright.faces.format import Words
from coatwright.faces.texts import LANGUAGES, tongue
from coatwright.faces.web.assets import address, style
from coatwright.faces.web.language import chosen
from coatwright.faces.web.wording import install
from coatwright.figures import Figure
from coatwright.units import System

COOKIES: Final = {
    "who": "cw_who",
    "language": "cw_language",
    "units": "cw_units",
    "light": "cw_light",
}
"""What a phone remembers, and under which name."""

NO_STORE: Final = {"Cache-Control": "no-store"}


@dataclass(frozen=True)
class Reader:
    """Who reads: name, language, unit system, and light ("", "light", "dark")."""

    who: str = ""
    language: str = "en"
    units: System = "metric"
    light: str = ""

    @property
    def name(self) -> str:
        """Under which an event is noted."""
        return self.who or "somebody"

    def words(self, currency: str = "GBP") -> Words:
        """What figures and sentences are worded with for this reader."""
        return Words(self.units, currency, tongue(self.language))

    @classmethod
    def of(cls, request: Request) -> "Reader":
        """The reader of a request, by the cookies of the phone and what the browser accepts."""
        kept = request.cookies
        units = kept.get(COOKIES["units"], "metric")
        light = kept.get(COOKIES["light"], "")
        return cls(
            who=unquote(kept.get(COOKIES["who"], ""))[:80],
            language=chosen(
                kept.get(COOKIES["language"]), request.headers.get("accept-language", "")
            ),
            units=cast("System", units if units in ("metric", "us") else "metric"),
            light=light if light in ("light", "dark") else "",
        )


class Setter:
    """Sets a figure: number, unit and spread apart, so that units are small and always there."""

    def __init__(self, words: Words) -> None:
        self.words = words

    def __call__(self, figure: Figure) -> Markup:
        """With its spread."""
        shown = self.words.show(figure)
        spread = (
            Markup(' <span class="spread">({})</span>').format(shown.spread) if shown.spread else ""
        )
        return self._number(shown.number, shown.unit, figure) + spread

    def brief(self, figure: Figure) -> Markup:
        """Without its spread."""
        shown = self.words.show(figure)
        return self._number(shown.number, shown.unit, figure)

    def window(self, figure: Figure) -> str:
        """A wait on the calendar."""
        return self.words.window(figure)

    def chance(self, figure: Figure) -> str:
        """A probability."""
        return self.words.chance(figure)

    def plain(self, value: float, purpose: str) -> str:
        """A bare SI value in words."""
        return self.words.value(value, purpose)

    def money(self, value: float) -> str:
        """An amount of the job's money, to the whole unit."""
        return self.words.brief(Figure(round(value), "money", "entered", "", spread=(value, value)))

    def _number(self, number: str, unit: str, figure: Figure) -> Markup:
        kind = " from-assumed" if figure.basis == "assumed" else ""
        small = Markup(' <span class="unit">{}</span>').format(unit) if unit else ""
        return Markup('<span class="value{}">{}{}</span>').format(kind, number, small)


def page(request: Request, template: str, *, status: int = 200, **data: Any) -> HTMLResponse:
    """A page, or a part of one, set for the reader of a request."""
    response = HTMLResponse(rendered(request, template, **data), status, headers=NO_STORE)
    response.headers["Content-Language"] = Reader.of(request).language
    return response


def rendered(request: Request, template: str, **data: Any) -> str:
    """The text of a page, or of a part of one, for the reader of a request."""
    reader = Reader.of(request)
    currency = data.pop("currency", "GBP")
    found = _environment(reader.language, reader.units).get_template(template)
    return found.render(
        request=request,
        reader=reader,
        languages=LANGUAGES,
        fig=Setter(reader.words(currency)),
        words=reader.words(currency),
        **data,
    )


@cache
def _environment(language: str, units: System) -> Environment:
    made = Environment(
        loader=ChoiceLoader([PackageLoader("coatwright.faces.web", "pages")]),
        extensions=["jinja2.ext.i18n"],
        autoescape=True,
        undefined=StrictUndefined,
        trim_blocks=True,
        lstrip_blocks=True,
    )
    install(made, language, units)
    made.globals["static"] = address
    made.globals["style"] = style
    made.globals["look"] = Markup(drawing.look())
    made.filters["address"] = _address
    made.filters["moment"] = partial(_moment, language)
    return made


def _moment(language: str, at: datetime, now: datetime) -> str:
    """A moment as a person says it: the time today, the day of the week with it within six days."""
    here, today = at.astimezone(), now.astimezone().date()
    days = (here.date() - today).days
    shape = "HH:mm" if days == 0 else "EEE HH:mm" if abs(days) < 7 else "d MMM HH:mm"
    return str(format_datetime(here, shape, locale=language))


def _address(parts: Mapping[str, str]) -> str:
    return "&".join(f"{name}={value}" for name, value in parts.items())
