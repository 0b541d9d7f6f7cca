"""Every page of a small job: it answers, it is well formed, it holds the figures it should."""

import io
import json
import zipfile
from html.parser import HTMLParser
from importlib.resources import files

import httpx
import pytest

from card_photos import Shot, Truth, taken
from coatwright.actions.shop import Shop
from coatwright.faces.format import Words
from coatwright.record.events import AirRead, ClimateRead, FilmRead, Note, new_id
from coatwright.record.store.ledger import Record
from web_server import served

TEXT = (files("coatwright") / "data" / "demo" / "practice-board.toml").read_text("utf-8")
SPOT = ("board", "primed")
JOB = "/jobs/board"
EMPTY = frozenset(("area", "base", "br", "col", "hr", "img", "input", "link", "meta", "wbr"))

PAGES = (
    "/", "/person", "/glossary", "/test-card-a4.svg", "/test-card-letter.svg", JOB,
    *(f"{JOB}/{name}" for name in (
        "day", "day/otherwise", "areas", "areas/board", "areas/board/planned", "areas/new",
        "windows", "windows/now", "recipes", "paint",
        "air", "air/line", "air/holds", "check", "check/climate", "check/card", "check/defect",
        "check/defect?defect=runs&spot=board/primed", "check/film/board/primed",
        "check/film/board/primed/read", "check/fluid", "check/fluid/read", "check/strokes",
        "check/strokes/read", "happened", "happened/open", "happened/last",
        "happened/shows?_spot=board/primed", "happened?what=broke&spot=board/",
        "check/board", "check/board/read", "check/hand/learner/meaning",
        "money", "money/stands", "record", "record/now", "record/handover",
        "record/history", "record/history?search=painter", "record?at=2020-01-01T08:00", "papers",
    )),
)  # fmt: skip


class Balance(HTMLParser):
    """Whether every element that was opened is closed in its turn, and every id is there once."""

    def __init__(self) -> None:
        super().__init__()
        self.open: list[str] = []
        self.faults: list[str] = []
        self.ids: list[str] = []

    def handle_starttag(self, tag, attrs):
        self.ids += [value for name, value in attrs if name == "id"]
        if tag not in EMPTY:
            self.open.append(tag)

    def handle_startendtag(self, _tag, attrs):
        self.ids += [value for name, value in attrs if name == "id"]

    def handle_endtag(self, tag):
        if tag in EMPTY:
            return
        if not self.open or self.open.pop() != tag:
            self.faults.append(f"</{tag}> at {self.getpos()}")


@pytest.fixture(scope="module")
def shop(tmp_path_factory):
    folder = tmp_path_factory.mktemp("shop")
    with Record(f"sqlite:///{folder / 'record.db'}", folder / "files") as record:
        made = Shop(record, folder)
        made.take_in("board", TEXT, "painter")
        made.plan("board")
        yield made


@pytest.fixture(scope="module")
def client(shop):
    """The app with three coats tapped on the board, gauge, climate and air read."""
    with (
        served(shop) as address,
        httpx.Client(base_url=address, follow_redirects=True, timeout=60.0) as made,
    ):
        for coat in (1, 2, 3):
            for kind in ("coat begun", "coat done"):
                tapped(made, shop, kind, product="solid-two-pack", coat=coat)
        wanted = shop.open("board").state.patch(*SPOT).layers[-1].last.planned.least
        films = tuple(wanted * share for share in (0.7, *[1.2] * 14))
        for body in (
            FilmRead(method="gauge", readings=films),
            ClimateRead(air=292.15, metal=287.15, humidity=0.7),
            AirRead(where="wall", pressure=3.0e5, trigger=True, gun="colour-gun"),
            AirRead(where="gun", pressure=2.0e5, trigger=True, gun="colour-gun"),
            Note(text="<b>not bold</b> & so on"),
        ):
            shop.happened("board", "painter", body, *SPOT)
        yield made


def tapped(client, shop, kind, **fields):
    tap = {
        "id": new_id(), "job": "board", "who": "painter", "kind": kind, "fields": fields,
        "area": SPOT[0], "patch": SPOT[1], "at": shop.clock().isoformat(), "seen": 10**9,
    }  # fmt: skip
    answer = client.post(f"{JOB}/taps", data={"tap": json.dumps(tap)})
    assert answer.status_code == 200, answer.text


@pytest.mark.parametrize("path", PAGES)
def test_it_answers_and_is_well_formed(client, path):
    answer = client.get(path)
    assert answer.status_code == 200
    read = Balance()
    read.feed(answer.text)
    assert read.faults == []
    assert read.open == []
    assert len(read.ids) == len(set(read.ids))
    assert len(answer.content) < 250_000


@pytest.mark.parametrize("path", PAGES)
def test_it_answers_in_us_units_and_in_german(client, path):
    cookies = {"Cookie": "cw_units=us; cw_language=de"}
    assert client.get(path, headers=cookies).status_code == 200


def test_the_front_leads_to_every_page_of_the_job(client):
    text = client.get(JOB).text
    for name in ("day", "areas", "recipes", "paint", "air", "check", "money", "record", "papers"):
        assert f'href="{JOB}/{name}"' in text
        assert client.get(f"{JOB}/{name}").status_code == 200
    assert 'href="/glossary"' in text


def figures(answer) -> str:
    """The text without its tags, spaces of any kind as one."""
    found: list[str] = []
    read = HTMLParser()
    read.handle_data = found.append
    read.feed(answer.text)
    return " ".join("".join(found).split())


def test_air_says_what_the_plan_says(client, shop):
    text, words = figures(client.get(f"{JOB}/air")), Words("metric", "GBP")
    (gun,) = shop.plan("board").outlook.air_card.guns
    for figure in (gun.wall, gun.wall_released, gun.wanted, gun.needed, gun.air_used):
        assert " ".join(words.brief(figure).split()) in text
    assert " ".join(words.hold(gun.holds).split()) in text
    assert text.index("Before you drain the receiver") < text.index("Drain the trap")


def test_air_readings_are_taken_into_the_plan_by_one_tap(client, shop):
    assert "Let the readings count" in client.get(f"{JOB}/air/line").text
    assert client.post(f"{JOB}/air/keep").status_code == 200
    assert "The plan reckons with these readings" in client.get(f"{JOB}/air/line").text
    assert shop.open("board").bench.job.workshop.hose.gauges[0].at_gun == pytest.approx(2.0e5)


def test_film_says_which_clause_is_not_met_with_its_figures(client, shop):
    text = figures(client.get(f"{JOB}/check/film/board/primed"))
    least = shop.open("board").state.patch(*SPOT).layers[-1].last.planned.least
    assert "ISO 19840: does not pass" in text
    found, bound = f"{0.7 * least * 1e6:.0f} µm", f"bound {0.8 * least * 1e6:.0f} µm"
    clause = text.split("every reading is at least 80 % of the nominal film:")[1][:40]
    assert found in clause
    assert bound in clause
    assert "SSPC-PA 2: passes" in text


def test_a_card_photographed_is_read_and_kept(client, shop):
    photo = taken(Truth(length=230.0, width=54.0, across=2.4, along=2.2), Shot(), 1)
    given = {"kind": "burst", "gun": "colour-gun", "distance": "150"}
    answer = client.post(
        f"{JOB}/check/card", data=given, files={"photo": ("card.jpg", photo, "image/jpeg")}
    )
    assert answer.status_code == 200
    assert "The fan is even" in answer.text
    assert "from bare paper to bare paper along the fan" in answer.text
    caption = shop.open("board").state.photos[-1].caption
    assert caption.startswith("test card, burst")
    sha256 = shop.open("board").state.photos[-1].place.evidence[0]
    assert client.get(f"/files/{sha256}").content == photo


def test_what_is_no_photograph_is_told_in_a_sentence(client):
    answer = client.post(f"{JOB}/check/card", files={"photo": ("card.jpg", b"no", "image/jpeg")})
    assert answer.status_code == 422
    assert "no JPEG or PNG" in answer.text
    assert "Traceback" not in answer.text


def test_causes_are_ranked_anew_by_an_answer(client):
    path = f"{JOB}/check/defect?defect=solvent-pop&spot=board/primed"
    before = client.get(path).text
    name = before.split('name="found-')[1].split('"')[0]
    after = client.get(f"{path}&found-{name}=yes").text
    assert figures_of_chances(before) != figures_of_chances(after)
    assert sum(figures_of_chances(before)) == pytest.approx(100, abs=40)


def figures_of_chances(text: str) -> list[float]:
    parts = text.split('class="how-likely">')[1:]
    return [float(part.split("<")[0].replace("under", "").split("%")[0]) for part in parts]


def test_what_was_written_is_never_markup(client):
    text = client.get(f"{JOB}/record/history").text
    assert "<b>not bold</b>" not in text
    assert "&lt;b&gt;not bold&lt;/b&gt; &amp; so on" in text


def test_undo_by_the_page_wants_a_reason_and_shows_it(client, shop):
    event = shop.happened("board", "painter", Note(text="a slip of the thumb"))
    path = f"{JOB}/record/undo/{event.id}"
    assert client.post(path, data={"why": ""}).status_code >= 400
    assert client.post(path, data={"why": "was the wrong job"}).status_code == 200
    assert "was the wrong job" in client.get(f"{JOB}/record/history?search=thumb").text


def test_a_moment_gone_by_shows_what_lay_there_then(client):
    assert client.get(f"{JOB}/record?at=nonsense").text.count('role="alert"') >= 2
    past = client.get(f"{JOB}/record/now?at=2100-01-01T08:00").text
    assert "two-pack" in past


def test_the_record_can_be_taken_away(client, shop):
    archive = zipfile.ZipFile(io.BytesIO(client.get(f"{JOB}/record/all.zip").content))
    assert "events.json" in archive.namelist()
    assert archive.testzip() is None
    told = client.get(f"{JOB}/record/all.json").json()
    assert [one["id"] for one in told] == [one.id for one in shop.record.events("board")]
    table = client.get(f"{JOB}/record/all.csv").text.splitlines()
    assert table[0] == "number,moment,who,what,where,said,taken back"
    assert len(table) == len(told) + 1


@pytest.mark.slow
@pytest.mark.parametrize(
    "path", ["record/all.pdf", "papers/pack.pdf?paper=us-letter", "papers/air.pdf"]
)
def test_papers_are_pdf(client, path):
    answer = client.get(f"{JOB}/{path}")
    assert answer.status_code == 200
    assert answer.content.startswith(b"%PDF")


@pytest.mark.parametrize(
    "path",
    [
        "check/film/board/none",
        "check/film/none/primed",
        "papers/none.pdf",
        "recipes/none",
        "nowhere",
    ],
)
def test_what_is_not_there_is_said(client, path):
    answer = client.get(f"{JOB}/{path}")
    assert answer.status_code == 404
    assert "Traceback" not in answer.text
