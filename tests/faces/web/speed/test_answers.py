"""Pages kept as they were sent: never stale, made once, not sent again to a phone that has them.

The truth is an app that has kept nothing: whatever happened and whoever asks, a page that was kept
must read as that app sets it.
"""

import asyncio
import gzip
import re
from concurrent.futures import ThreadPoolExecutor
from datetime import datetime, timedelta

import httpx
import pytest

from coatwright.actions.shop import Shop
from coatwright.faces.web.app import create_app
from coatwright.faces.web.assets import address, assets, mark
from coatwright.record.events import (
    Bought,
    BrokeThrough,
    ClimateRead,
    CoatBegun,
    CoatDone,
    Corrected,
    ExtraProposed,
    FilmRead,
    Note,
    TakenOver,
    said,
)
from coatwright.record.store.ledger import Record
from web_server import with_sprayed_board

SPOT = ("board", "primed")
JOB = "/jobs/board"

PARTS = (
    f"{JOB}/areas/board/planned", f"{JOB}/paint/list", f"{JOB}/air/line", f"{JOB}/air/holds",
    f"{JOB}/check/climate", f"{JOB}/check/film/board/primed/read", f"{JOB}/money/stands",
    f"{JOB}/record/now", f"{JOB}/record/handover", f"{JOB}/happened/open", f"{JOB}/happened/last",
    f"{JOB}/record/history", f"{JOB}/day/now", f"{JOB}/windows/now",
)  # fmt: skip
PAGES = (
    "/", "/?find=board", "/person", "/person?back=/shelf", "/glossary", "/shelf", "/learned", JOB,
    *(f"{JOB}/{name}" for name in (
        "day", "areas", "areas/new", "areas/board", "areas/board/measure", "recipes",
        "recipes/board-solid-two-pack", "paint", "mixes/solid-two-pack-mix-1", "air", "check",
        "check/film/board/primed", "windows", "money", "happened", "record", "papers", "learned",
    )),
    *PARTS,
)  # fmt: skip

READERS = (
    {}, {"cw_who": "Anna"}, {"cw_who": "the%20learner"}, {"cw_language": "de"}, {"cw_units": "us"},
    {"cw_light": "dark"}, {"cw_lane": "learner"},
)  # fmt: skip


class Moving:
    """A clock that is set by hand, at eight of a summer's day to begin with."""

    def __init__(self):
        self.now = datetime(2031, 6, 2, 8, 0, 0).astimezone()

    def __call__(self):
        return self.now


@pytest.fixture(scope="module")
def shop(tmp_path_factory):
    folder = tmp_path_factory.mktemp("shop")
    clock = Moving()
    with Record(f"sqlite:///{folder / 'record.db'}", folder / "files", clock) as record:
        shop = Shop(record, folder, clock)
        with_sprayed_board(shop)
        shop.days("board")
        shop.start("A second job", "painter")
        get(create_app(shop), f"{JOB}/day")  # notes how the days were arranged
        with shop.replanning:  # and they are not planned anew by themselves meanwhile
            yield shop


@pytest.fixture
def app(shop):
    return create_app(shop)


def apart(asked):
    """In a thread of its own: on this one the browser of other tests may be running its loop."""
    with ThreadPoolExecutor(1) as pool:
        return pool.submit(lambda: asyncio.run(asked())).result()


def get(app, path, cookies=None, **headers):
    async def asked():
        transport = httpx.ASGITransport(app)
        named = {name.replace("_", "-"): value for name, value in headers.items()}
        if cookies:
            named["cookie"] = "; ".join(f"{name}={value}" for name, value in cookies.items())
        async with httpx.AsyncClient(transport=transport, base_url="http://shop.test") as client:
            return await client.get(path, headers=named)

    return apart(asked)


def elsewhere(shop, body, area="", patch="", job="board"):
    """Something noted by another process: this one is told by the database alone."""
    folder = shop.folder
    with Record(f"sqlite:///{folder / 'record.db'}", folder / "files", shop.clock) as other:
        return other.write(said(job, "Ben", shop.clock(), body, area, patch))


def differing(app, shop, readers=READERS[1:2]):
    """Pages that do not read as an app that has kept nothing sets them."""
    found = []
    for reader in readers:
        new = create_app(shop)
        for path in PAGES:
            kept, fresh = get(app, path, reader), get(new, path, reader)
            assert fresh.status_code == 200, (path, fresh.text)
            if kept.text != fresh.text:
                found.append((path, reader))
    return found


HAPPENS = (
    ("a coat begun", lambda: (CoatBegun(product="solid-two-pack", coat=4), *SPOT)),
    ("a coat done", lambda: (CoatDone(product="solid-two-pack", coat=4), *SPOT)),
    ("climate", lambda: (ClimateRead(air=291.15, metal=288.15, humidity=0.6),)),
    ("film", lambda: (FilmRead(method="gauge", readings=(61e-6, 63e-6, 66e-6)), *SPOT)),
    ("a note", lambda: (Note(text="a run at the lower edge"),)),
    ("rubbed through", lambda: (BrokeThrough(), *SPOT)),
    ("taken over", lambda: (TakenOver(by="Ash", remarks="a run"),)),
    ("extra work", lambda: (ExtraProposed(
        extra="x1", title="a dent", reason="found", price_low=40.0, price=50.0, price_high=70.0,
    ),)),
    ("a tin", lambda: (Bought(
        product="solid-two-pack", component="base", volume=1e-3, packs=1, price=30.0, lot="L77",
    ),)),
)  # fmt: skip


@pytest.mark.slow
def test_whoever_asks_is_answered_in_their_own_name_language_units_light_and_work(app, shop):
    for _ in range(2):  # the second time all of them are kept
        assert differing(app, shop, READERS) == []


@pytest.mark.slow
@pytest.mark.parametrize(("_", "body"), HAPPENS, ids=[name for name, _ in HAPPENS])
def test_after_an_event_by_another_phone_every_page_is_as_set_anew(app, shop, _, body):
    assert differing(app, shop) == []  # and now all of them are kept
    elsewhere(shop, *body())
    assert differing(app, shop) == []


@pytest.mark.slow
def test_what_is_taken_back_is_gone_from_every_page(app, shop):
    wrong = elsewhere(shop, Note(text="of another car"))
    assert differing(app, shop) == []
    elsewhere(shop, Corrected(event=wrong.id, why="wrong job"))
    assert differing(app, shop) == []


@pytest.mark.slow
@pytest.mark.parametrize("step", [timedelta(seconds=11), timedelta(minutes=15), timedelta(days=1)])
def test_as_time_goes_on_every_page_is_as_set_anew(app, shop, step, monkeypatch):
    assert differing(app, shop) == []
    monkeypatch.setattr(shop.clock, "now", shop.clock.now + step)
    assert differing(app, shop) == []


def test_what_happens_to_one_job_is_at_once_on_the_pages_of_all(app, shop):
    assert "L5512" not in get(app, "/shelf").text
    pour = shop.plan("board").products[0].batches[0].pours[0].key
    tin = Bought(
        product="solid-two-pack", component=pour, volume=1e-3, packs=1, price=30.0, lot="L5512"
    )
    elsewhere(shop, tin, job="a-second-job")
    assert "L5512" in get(app, "/shelf").text
    assert "L5512" in get(app, f"{JOB}/mixes/solid-two-pack-mix-1").text


def test_a_plan_that_has_been_computed_is_on_the_page_at_once(app, shop):
    job = shop.start("Unplanned", "painter")
    path = f"/jobs/{job}/paint"
    assert "Computing the plan" in get(app, path).text
    shop.plan(job)
    assert "Computing the plan" not in get(app, path).text


def test_a_page_is_made_once_until_something_of_its_own_job_happens(app, shop):
    answers = app.state.answers
    for path in PAGES:
        get(app, path)
    before = answers.made
    for path in PAGES:
        get(app, path)
    assert answers.made == before
    elsewhere(shop, Note(text="elsewhere"), job="a-second-job")
    whole = ("/", "/?find=board", "/shelf", "/learned", f"{JOB}/paint", f"{JOB}/paint/list",
             f"{JOB}/mixes/solid-two-pack-mix-1", f"{JOB}/learned")  # fmt: skip
    for path in PAGES:
        get(app, path)
    assert answers.made == before + len(whole) + 1  # and the list that comes along with the paint


def test_a_page_asked_for_by_many_at_once_is_made_once(app):
    async def asked():
        transport = httpx.ASGITransport(app)
        async with httpx.AsyncClient(transport=transport, base_url="http://shop.test") as client:
            return await asyncio.gather(*(client.get(f"{JOB}/areas") for _ in range(12)))

    found = apart(asked)
    assert {one.status_code for one in found} == {200}
    assert len({one.text for one in found}) == 1
    assert app.state.answers.made == 1


def test_a_fault_and_a_choice_are_never_kept(app):
    for _ in range(2):
        assert get(app, "/jobs/nothing/areas").status_code == 404
        assert "cw_lane=learner" in get(app, f"{JOB}/day?lane=learner").headers["set-cookie"]
    assert app.state.answers.made == 4


def test_pages_held_stay_within_their_bytes(shop):
    app = create_app(shop)
    app.state.answers._most = 6_000
    for path in PAGES:
        get(app, path)
    held = sum(len(page.packed) for _, page in app.state.answers._pages.values())
    assert 0 < held == app.state.answers._size <= 6_000


# RFC 9110, 13.1.2 (If-None-Match), 15.4.5 (what a 304 must carry), 8.8.3 (a strong mark tells
# apart what is compressed from what is not).


def test_a_phone_that_has_a_page_is_sent_nothing(app, shop):
    path = f"{JOB}/areas"
    first = get(app, path)
    assert first.headers["cache-control"] == "private, no-cache"
    known = first.headers["etag"]
    assert re.fullmatch(r'"[^"]+"', known)
    for said_again in (known, f"W/{known}", f'"other", {known}'):
        again = get(app, path, if_none_match=said_again)
        assert (again.status_code, again.content) == (304, b"")
        for name in ("etag", "cache-control", "vary"):
            assert again.headers[name] == first.headers[name]
    elsewhere(shop, Note(text="something"))
    after = get(app, path, if_none_match=known)
    assert after.status_code == 200
    assert after.headers["etag"] != known


def test_a_part_that_reads_the_same_after_an_event_is_not_sent_again(app, shop):
    known = get(app, f"{JOB}/air/holds").headers["etag"]
    elsewhere(shop, Note(text="says nothing of the air"))
    assert get(app, f"{JOB}/air/holds", if_none_match=known).status_code == 304


def test_compressed_and_plain_are_told_apart(app):
    packed = get(app, JOB, accept_encoding="gzip")
    plain = get(app, JOB, accept_encoding="identity")
    assert packed.headers["content-encoding"] == "gzip"
    assert "content-encoding" not in plain.headers
    assert packed.text == plain.text
    assert packed.headers["etag"] != plain.headers["etag"]
    for name in ("Accept-Encoding", "Accept-Language", "Cookie", "HX-Request"):
        assert name in packed.headers["vary"]


def test_a_page_that_nothing_tells_of_a_change_is_not_kept_by_phones(app):
    for path in ("/", "/shelf", "/learned", "/person"):
        assert get(app, path).headers["cache-control"] == "no-store"


def test_scripts_are_kept_for_good_at_an_address_that_changes_with_them(app):
    for name, asset in assets().items():
        answer = get(app, address(name), accept_encoding="gzip")
        assert answer.headers["cache-control"] == "public, max-age=31536000, immutable"
        assert answer.content == asset.data  # unpacked by the client
    assert mark() in address("js/taps.js")
    packed = len(gzip.compress(assets()["vendor/htmx.min.js"].data, 9))
    htmx = get(app, address("vendor/htmx.min.js"), accept_encoding="gzip")
    assert int(htmx.headers["content-length"]) <= packed + 20


@pytest.mark.parametrize("path", ["js/taps.js", "0123456789/js/taps.js", "js/taps.js?older"])
def test_any_other_address_of_a_script_leads_to_the_one_so_that_none_runs_twice(app, path):
    answer = get(app, f"/static/{path}")
    assert (answer.status_code, answer.headers["location"]) == (307, address("js/taps.js"))
    assert get(app, "/static/js/none.js").status_code == 404
    assert get(app, "/static/../app.py").status_code == 404
