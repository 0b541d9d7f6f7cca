"""People of the shop at their screens: what they see, what they tap, and one clock for all of them.

What is next, when, and whether it must wait is read on the page, where a person reads it. What has
been tapped is written down here too, so that the record can be held against it.
"""

import json
import re
from collections.abc import Iterator
from contextlib import contextmanager
from dataclasses import dataclass, field
from datetime import datetime
from functools import partial
from typing import Any, NamedTuple

from playwright.sync_api import Browser, Locator, Page, TimeoutError

import web_server

PHONE, DESK = {"width": 390, "height": 844}, {"width": 1280, "height": 900}

GLANCE = 10_000.0
"""How long a button is sought that stood there a moment ago [ms]."""

until = partial(web_server.until, seconds=300.0)

_SEEN = """() => {
  const waiting = document.querySelector("[data-undelivered]");
  const card = document.querySelector("#now .turn:not([hidden])");
  const seen = (name, within) =>
    [...within.querySelectorAll(name)].filter((one) => one.offsetParent);
  const words = (name) => seen(name, card).map((one) => one.innerText);
  const taps = () => [...card.querySelectorAll("button[data-makes]")].map((one) =>
    [one.dataset.makes, { ...one.dataset }]);
  const told = card && {
    key: card.dataset.entry, state: card.dataset.state, text: words(".to-do")[0],
    planned: words(".if-open b")[0] ?? "", waits: words(".notice b")[0] ?? "",
    first: words("[data-firsts] li"), buttons: Object.fromEntries(taps()),
    later: document.querySelector("#now > .notice time")?.dateTime ?? "",
    bench: words("a.button").length > 0,
    cup: card.querySelector("form.cup:not([hidden])") !== null,
  };
  const all = seen("#now > h2.to-do", document).length > 0;
  const count = Number(waiting.querySelector("[data-count]").textContent);
  return { told, all, waiting: waiting.hidden ? 0 : count };
}"""
_MOVED = """([key, state]) => {
  const card = document.querySelector("#now .turn:not([hidden])");
  return !card || card.dataset.entry !== key || card.dataset.state !== state;
}"""


class Tapped(NamedTuple):
    """What somebody tapped: the kind of event it makes, of what, and what was typed or chosen."""

    kind: str
    area: str = ""
    patch: str = ""
    said: tuple[tuple[str, Any], ...] = ()


class Hours:
    """The clock of the shop. It stands until the work has got further."""

    def __init__(self, now: datetime) -> None:
        self.now = now

    def __call__(self) -> datetime:
        return self.now

    def to(self, moment: datetime) -> None:
        """It is as late as that, if it is not later already."""
        self.now = max(self.now, moment)


@dataclass(frozen=True)
class Card:
    """The piece of work that stands open on a screen, in the words of the page.

    first: what the page says comes before it; waits: until when it must; later: on which day it is.
    """

    key: str
    state: str
    text: str
    planned: str
    waits: str
    first: list[str]
    later: str
    buttons: dict[str, dict[str, str]]
    bench: bool
    cup: bool

    def due(self, now: datetime) -> datetime:
        """When it is to be begun or, under way, to be done."""
        if self.later:
            return datetime.fromisoformat(self.later).astimezone()
        start, end = re.findall(r"\d\d:\d\d", self.planned)
        told = re.findall(r"\d\d:\d\d", self.waits) if self.state == "planned" else []
        hour, minute = map(int, max([end if self.state == "begun" else start, *told]).split(":"))
        return now.replace(hour=hour, minute=minute, second=0, microsecond=0)

    @property
    def makes(self) -> str:
        """What the next tap makes of it; work that is no coat and no mix is noted when done."""
        plain = self.buttons["begun"]["tap"] == "work begun" and not self.bench
        return "done" if plain or self.state == "begun" else "begun"

    @property
    def button(self) -> str:
        """What stands on the button for that."""
        if self.makes == "begun":
            return "Start"
        return "Done" if self.state == "begun" else "Done already"

    @property
    def fields(self) -> dict[str, Any]:
        """What the next tap says."""
        told: dict[str, Any] = json.loads(self.buttons[self.makes]["fields"])
        return told


@dataclass
class Person:
    """Somebody at a screen of their own. card: what stood open when they looked last."""

    who: str
    page: Page
    hours: Hours
    card: Card | None = None
    tapped: list[Tapped] = field(default_factory=list)
    faults: list[str] = field(default_factory=list)
    cut_off: bool = False

    def look(self) -> Card | None:
        """What stands open; None when all is done.

        What is tapped has been delivered by then, unless there is no network.
        """
        seen: dict[str, Any] = {}

        def looked() -> bool:
            seen.update(self.page.evaluate(_SEEN))
            return (seen["told"] or seen["all"]) and (self.cut_off or not seen["waiting"])

        until(looked)
        self.card = Card(**seen["told"]) if seen["told"] else None
        return self.card

    def waiting(self) -> int:
        """How many taps are not delivered yet, as the strip at the top says."""
        return int(self.page.evaluate(_SEEN)["waiting"])

    def at_this_hour(self) -> None:
        """The screen shows the hour of the shop."""
        self.page.clock.set_fixed_time(self.hours.now)

    def tap(self) -> bool:
        """The large button of the piece of work that stands open.

        If something else has come to stand there meanwhile, as it does when the rest is planned
        anew, nothing is tapped and whoever it is looks again: False.
        """
        card = self.card
        assert card is not None
        self.at_this_hour()
        turn = self.page.locator(f"#now .turn[data-entry='{card.key}']")
        try:
            turn.get_by_role("button", name=card.button, exact=True).click(timeout=GLANCE)
        except TimeoutError:
            return False
        button = card.buttons[card.makes]
        self.note(button["tap"], button["area"], button["patch"], **card.fields)
        self.until_moved(card)
        return True

    def until_moved(self, card: Card | None) -> None:
        """Something else stands open, or it stands otherwise."""
        self.page.wait_for_function(_MOVED, arg=[card.key, card.state] if card else ["", ""])

    def note(self, kind: str, area: str = "", patch: str = "", **said: Any) -> None:
        """Write down what has been tapped."""
        plain = {name: one for name, one in said.items() if not isinstance(one, dict)}
        self.tapped.append(Tapped(kind, area, patch, tuple(sorted(plain.items()))))

    def type(self, label: str, text: str) -> None:
        """Into a field, by its name."""
        self.page.get_by_label(label, exact=True).last.fill(text)

    def press(self, name: str) -> None:
        """A button, by what stands on it."""
        self.at_this_hour()
        self.page.get_by_role("button", name=name, exact=True).last.click()

    def open(self, link: Locator) -> None:
        """Where a link leads, with its scripts."""
        with self.page.expect_navigation(wait_until="load"):
            link.click()

    def follow(self, name: str | re.Pattern[str]) -> None:
        """A link, by its name."""
        self.open(self.page.get_by_role("link", name=name).first)

    def go(self, name: str) -> None:
        """To a page of the job, by the strip at the foot or else by the job's front."""
        strip = self.page.get_by_role("navigation", name="Pages of this job")
        if name in ("Now", "Areas", "Paint", "Money", "Record"):
            self.open(strip.get_by_role("link", name=name, exact=True))
            return
        self.open(self.page.locator("header a.where"))
        self.open(self.page.locator("ul.lines a", has=self.page.locator(f"b:text-is('{name}')")))

    def see_the_work_of(self, who: str) -> None:
        """Somebody's work on this screen, by the strip at its head."""
        lanes = self.page.get_by_role("navigation", name="Whose work")
        self.open(lanes.get_by_role("link", name=who))
        lanes.locator(f"a[aria-current]:text-is('{who}')").wait_for()

    def delivered(self) -> None:
        """All that was tapped has reached the shop."""
        until(lambda: self.waiting() == 0)

    def lose_the_network(self) -> None:
        """From here on nothing reaches this screen, and nothing leaves it."""
        self.cut_off = True
        self.page.context.set_offline(True)

    def find_the_network(self) -> None:
        """All that was tapped meanwhile is delivered."""
        self.page.context.set_offline(False)
        self.cut_off = False
        self.delivered()


@contextmanager
def at_a_screen(
    browser: Browser, address: str, hours: Hours, who: str, size: dict[str, int] = PHONE
) -> Iterator[Person]:
    """Somebody with a screen of their own; a fault of a script there fails."""
    context = browser.new_context(viewport=size, reduced_motion="reduce", accept_downloads=True)
    page = context.new_page()
    page.set_default_timeout(300_000)
    person = Person(who, page, hours)
    page.on("pageerror", lambda fault: person.faults.append(str(fault)))
    person.at_this_hour()
    page.goto(address)
    try:
        yield person
        assert person.faults == []
    finally:
        context.close()
