"""Renders a Plan through the templates beside this module, where all text is escaped."""

from collections.abc import Callable, Sequence
from functools import cache

from jinja2 import Environment, PackageLoader, StrictUndefined
from markupsafe import Markup

from coatwright.faces import drawing
from coatwright.faces.arranged.contents import (
    Page,
    by_hazard,
    capital,
    sentence,
    system_title,
    weighed,
)
from coatwright.faces.arranged.outlook import OutlookView, hold_titles, spot_titles
from coatwright.faces.drawing.day import (
    day_areas_svg,
    day_list,
    day_name,
    day_people_svg,
    describe_plan_day,
)
from coatwright.faces.drawing.weather import merged, spell_text, verdict_sign
from coatwright.faces.drawing.windows import Titles, place, reach, when
from coatwright.faces.format import Words, clock
from coatwright.faces.html.setting import Setter
from coatwright.planning.conditions.air_plan import AirHold
from coatwright.planning.conditions.window_plan import Hour, Window, WindowMap
from coatwright.planning.day.plan import Day, DayPlan
from coatwright.planning.plan import PatchPlan, Plan, StrokeRecipe
from coatwright.sentences import Said
from coatwright.units import System


def render(plan: Plan, system: System = "metric") -> str:
    """The whole plan as one self-contained HTML document."""
    words = Words(system, plan.currency)
    page = Page.of(plan)
    template = _environment(system).get_template("plan.html")
    return template.render(
        plan=plan,
        page=page,
        ahead=OutlookView.of(plan),
        hold_titles=hold_titles(plan),
        fig=Setter(words, page.numbers),
        days=Days(),
        pictures=Pictures(words, page.scale, spot_titles(plan)),
    )


@cache
def _environment(system: System) -> Environment:
    made = Environment(
        loader=PackageLoader("coatwright.faces.html"),
        autoescape=True,
        undefined=StrictUndefined,
        trim_blocks=True,
        lstrip_blocks=True,
        finalize=_finisher(Words(system)),
    )
    made.globals["look"] = Markup(drawing.look())
    made.filters["sentence"] = capital
    made.filters["stop"] = sentence
    made.filters["weighed"] = weighed
    made.filters["by_hazard"] = by_hazard
    made.filters["system"] = system_title
    made.filters["clock"] = clock
    made.filters["spell"] = spell_text
    made.filters["merged"] = merged
    made.filters["verdict"] = verdict_sign
    return made


def _finisher(words: Words) -> Callable[[object], object]:
    """Sentences are told in the reader's units, other prose with its units as a person writes."""

    def finished(value: object) -> object:
        if isinstance(value, Said):
            return words.tell(value)
        return words.polish(value) if type(value) is str else value

    return finished


class Days:
    """The days of work, each picture with an id of its own on the page."""

    rows = staticmethod(day_list)
    title = staticmethod(day_name)
    words = staticmethod(describe_plan_day)

    def people(self, plan: DayPlan, day: Day) -> Markup:
        """Who does what."""
        return Markup(day_people_svg(f"people-{day.number}", plan, day))

    def areas(self, plan: DayPlan, day: Day) -> Markup:
        """What happens to each area."""
        return Markup(day_areas_svg(f"areas-{day.number}", plan, day))


class Pictures:
    """The shared drawings, each with an id of its own on the page."""

    def __init__(self, words: Words, scale: float, spots: Titles) -> None:
        self._words = words
        self._scale = scale
        self._spots = spots
        self._count = 0

    def _name(self) -> str:
        self._count += 1
        return f"picture-{self._count}"

    def section(self, patch: PatchPlan) -> Markup:
        """The section of a patch, all to one scale."""
        return Markup(
            drawing.section_svg(
                self._name(),
                patch.ground,
                patch.section,
                patch.film_total,
                self._words,
                self._scale,
            )
        )

    def section_rows(self, patch: PatchPlan) -> list[tuple[str, str, str]]:
        """The same as a table."""
        return drawing.section_rows(patch.section, self._words)

    def profile(self, recipe: StrokeRecipe) -> Markup:
        """The film across the strokes."""
        return Markup(drawing.profile_svg(self._name(), recipe.profile, self._words))

    def profile_rows(self, recipe: StrokeRecipe) -> list[tuple[str, str, str, str]]:
        """The same as a table."""
        return drawing.profile_rows(recipe.profile, self._words)

    def limit(self, recipe: StrokeRecipe) -> str:
        """The run limit of the profile in words."""
        return drawing.limit_text(recipe.profile, self._words)

    def risk(self, recipe: StrokeRecipe) -> Markup:
        """The chances of a run and of a light patch."""
        return Markup(drawing.risk_svg(self._name(), recipe, self._words))

    def choices(self, recipe: StrokeRecipe) -> Markup:
        """Paint against minutes of the alternatives."""
        return Markup(drawing.choices_svg(self._name(), weighed(recipe), self._words))

    def pressure(self, hold: AirHold) -> Markup:
        """The pressure at the trigger over each coat."""
        return Markup(drawing.pressure_svg(self._name(), hold, self._words))

    def pressure_rows(self, hold: AirHold) -> list[tuple[str, ...]]:
        """The same as a table."""
        return drawing.pressure_rows(hold, self._words)

    def day(self, hours: Sequence[Hour]) -> Markup:
        """Temperatures and the margin over the dew point."""
        return Markup(drawing.day_svg(self._name(), hours, self._words))

    def day_rows(self, hours: Sequence[Hour]) -> list[tuple[str, ...]]:
        """The same as a table."""
        return drawing.day_rows(hours, self._words)

    def go(self, hours: Sequence[Hour]) -> Markup:
        """Go or no-go over the hours."""
        return Markup(drawing.go_svg(self._name(), hours))

    def windows(self, windows: Sequence[Window], whole: WindowMap) -> Markup:
        """A part of the window map, on the axis of the whole."""
        name, last = self._name(), reach(whole.windows)
        return Markup(
            drawing.windows_svg(name, windows, self._spots, self._words, whole.start, last)
        )

    def window_place(self, window: Window) -> str:
        """Where and what a window is of."""
        return place(window, self._spots)

    def window_when(self, window: Window, which: int) -> str:
        """When it was laid (0), opens (1), is best (2) or closes (3)."""
        return when(window, which, self._words)
