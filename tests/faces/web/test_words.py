"""Every page is told in the reader's language and units, but for people's own words."""

import re
from collections.abc import Iterator
from html.parser import HTMLParser

import httpx
import pytest

from coatwright.actions.live import following
from coatwright.faces.web.app import PAGES
from coatwright.record.events import (
    AirRead,
    BrokeThrough,
    ClimateRead,
    DefectSeen,
    FilmRead,
    Finished,
    Found,
    Note,
    TakenOver,
)
from faces.telling.left_over import AS_SOLD, ENGLISH, METRIC, others, own_words
from web_server import served, sprayed_board

SPOT = ("board", "primed")
JOB = "/jobs/board"
STARTS = (
    "/", "/person", "/learned", "/shelf", "/glossary", JOB, f"{JOB}/recipes", f"{JOB}/papers",
    f"{JOB}/check/defect?defect=runs&spot=board/primed",
    f"{JOB}/check/defect?defect=solvent-pop&spot=board/primed",
    f"{JOB}/check/film/board/primed/read", f"{JOB}/nowhere", f"{JOB}/areas/no-such-area",
    f"{JOB}/mixes/no-such-mix", f"{JOB}/recipes/no-such-recipe", "/jobs/no-such-job",
)  # fmt: skip
NO_PAGE = re.compile(r"^/(static|files)/|\.(pdf|csv|json|zip|ics|svg|toml)\b|/papers/|/kept/")
NOTE = "the painter's own note, of the 60 um"

FILE = re.compile(r"^[a-z]+(-[a-z]+)+$")
"""The name of a file to take away."""


class Texts(HTMLParser):
    """What a person reads of a page, seen or read aloud, and where its links lead.

    What a page says to be in another language (lang) is left out: words of the trade elsewhere, and
    sentences that the record noted in the words of then.
    """

    LABELS = ("aria-label", "title", "placeholder", "alt")

    def __init__(self, page: str) -> None:
        super().__init__()
        self.texts: list[str] = []
        self.links: list[str] = []
        self.silent: list[str] = []
        self.feed(page)

    def handle_starttag(self, tag, attrs):
        known = dict(attrs)
        if self.silent or tag in ("script", "style") or (known.get("lang") and tag != "html"):
            self.silent.append(tag)
            return
        self.texts += [known[name] for name in self.LABELS if known.get(name)]
        self.links += [
            known[name] for name in ("href", "hx-get") if (known.get(name) or "").startswith("/")
        ]

    def handle_endtag(self, tag):
        if self.silent and self.silent[-1] == tag:
            self.silent.pop()

    def handle_data(self, data):
        text = " ".join(data.split())
        if text and not self.silent:
            self.texts.append(text)


@pytest.fixture(scope="module")
def shop(tmp_path_factory):
    with sprayed_board(tmp_path_factory.mktemp("shop")) as made:
        following.arrange(made, "board")
        wanted = made.open("board").state.patch(*SPOT).layers[-1].last.planned.least
        for body in (
            FilmRead(method="gauge", readings=tuple(wanted * x for x in (0.7, *[1.2] * 14))),
            ClimateRead(air=292.15, metal=283.15, humidity=0.7),
            AirRead(where="wall", pressure=3.0e5, trigger=True, gun="colour-gun"),
            AirRead(where="gun", pressure=2.0e5, trigger=True, gun="colour-gun"),
            Note(text=NOTE),
            Finished(note=NOTE),
            TakenOver(by="painter", how="in the shop", remarks=NOTE),
            DefectSeen(defect="runs", note=NOTE),
            BrokeThrough(surface=4e-4),
            BrokeThrough(ground="metal"),
            Found(what=NOTE, ground="aluminium", surface=0.1),
        ):
            made.happened("board", "painter", body, *SPOT)
        yield made


@pytest.fixture(scope="module")
def address(shop):
    with served(shop) as found:
        yield found


@pytest.fixture(scope="module")
def own(shop):
    """People's own words: what the job file and those who noted called things, longest first."""
    job = shop.open("board").bench.job
    named = [job.title, job.colour, job.workshop.title, NOTE, "Maler", "painter"]
    named += [one.title for one in (*job.areas, *job.hands, *job.workshop.guns)]
    named += [one.title for one in job.workshop.helpers]
    named += [f(gun.key) for gun in job.workshop.guns for f in (str, str.capitalize)]
    named += [patch.key for area in job.areas for patch in area.patches]
    return own_words(named)


def walked(address: str, cookies: str) -> Iterator[tuple[str, str]]:
    """Every text of every page that links lead to, with the first page it stands on."""
    seen: set[str] = set()
    told: set[str] = set()
    to_do = list(STARTS)
    alone = httpx.Limits(max_keepalive_connections=0)
    with httpx.Client(
        base_url=address, follow_redirects=True, timeout=60.0, limits=alone
    ) as client:
        while to_do:
            path = to_do.pop(0)
            if path in seen or NO_PAGE.search(path):
                continue
            seen.add(path)
            answer = client.get(path, headers={"Cookie": cookies})
            if "text/html" not in answer.headers.get("content-type", ""):
                continue
            read = Texts(answer.text)
            to_do += [link for link in read.links if link.startswith((JOB, "/owner", *STARTS[1:5]))]
            for text in read.texts:
                if text not in told:
                    told.add(text)
                    yield path, text
    assert len(seen) > 2 * len(PAGES), "the walk has lost its way"


def test_no_sentence_is_left_in_english(address, own):
    left = [
        (path, text)
        for path, text in walked(address, "cw_language=de; cw_who=Maler")
        if ENGLISH.search(others(text, own)) and not FILE.search(text)
    ]
    assert left == [], "\n".join(f"{path}: {text}" for path, text in left)


def test_no_metric_unit_is_left_for_a_reader_of_us_units(address, own):
    left = [
        (path, text)
        for path, text in walked(address, "cw_language=en; cw_units=us; cw_who=painter")
        if METRIC.search(others(text, own)) and not AS_SOLD.fullmatch(text)
    ]
    assert left == [], "\n".join(f"{path}: {text}" for path, text in left)


def test_peoples_own_words_are_left_as_they_are(address):
    page = httpx.get(
        f"{address}{JOB}/record/history", headers={"Cookie": "cw_language=de; cw_units=us"}
    ).text
    assert NOTE.replace("'", "&#39;").replace("60 um", "60\N{NO-BREAK SPACE}µm") in page
