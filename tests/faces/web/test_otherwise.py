"""Not as planned, over http: a pot is gone, somebody leaves; served again, the day is the same."""

from datetime import timedelta

import httpx
import pytest

from coatwright.actions.live import following
from coatwright.actions.shop import Shop
from coatwright.record.events import Mixed, said
from coatwright.record.store.ledger import Record
from web_server import eight, served

ME = "The painter"
EIGHT = eight()


def opened(folder):
    return Record(f"sqlite:///{folder / 'record.db'}", folder / "files")


@pytest.fixture(scope="module")
def folder(tmp_path_factory):
    return tmp_path_factory.mktemp("shop")


@pytest.fixture(scope="module")
def shop(folder):
    with opened(folder) as record:
        yield Shop(record, folder, clock=lambda: EIGHT)


@pytest.fixture(scope="module")
def address(shop):
    with served(shop) as found:
        yield found


@pytest.fixture
def job(shop):
    key = shop.start("Door", ME)
    shop.days(key)
    mixed = Mixed(mix="epoxy-1", product="epoxy", parts={}, pot_life=21600.0)
    shop.write(said(key, ME, EIGHT - timedelta(minutes=4), mixed))
    return key


def page(address, job):
    return f"{address}/jobs/{job}/day/otherwise"


def post(address, job, **fields):
    return httpx.post(page(address, job), data=fields, timeout=60.0)


def test_a_pot_that_is_gone(address, shop, job):
    assert "epoxy-1" in httpx.get(page(address, job)).text
    assert post(address, job, act="gone", mix="epoxy-1").status_code == 303
    assert "No pot stands open" in httpx.get(page(address, job)).text
    day = httpx.get(f"{address}/jobs/{job}/day").text
    assert "Planned anew at 08:00" in day
    assert "is out of use since 08:00: what it was for gets a pot of its own" in day


def test_somebody_leaves_and_is_here_after_all(address, shop, job):
    assert post(address, job, act="leave", person="me", until="13:00").status_code == 303
    live = following.look(shop, job)
    assert all(turn.start >= EIGHT + timedelta(hours=5) for turn in live.turns
               if turn.state == "planned")  # fmt: skip
    (away,) = live.absent
    assert "08:00 – 13:00" in httpx.get(page(address, job)).text
    assert post(address, job, act="back", event=away.event).status_code == 303
    assert following.look(shop, job).absent == ()


def test_nobody_here_after_three(address, shop, job):
    assert post(address, job, act="leave", since="08:20").status_code == 303
    closes = EIGHT + timedelta(minutes=20)
    left = [turn for turn in following.look(shop, job).turns if turn.state == "planned"]
    assert all(turn.end <= closes or turn.start >= EIGHT + timedelta(days=1) for turn in left)


@pytest.mark.parametrize(
    ("fields", "words"),
    [
        ({"act": "gone", "mix": "tar-1"}, "There is no mix &#39;tar-1&#39; in this job"),
        ({"act": "leave", "person": "guest"}, "Nobody here is called &#39;guest&#39;"),
        ({"act": "leave", "since": "soon"}, "&#39;soon&#39; is no moment"),
        ({"act": "leave", "until": "07:00"}, "They would be back before they leave"),
        ({"act": "back", "event": "nothing-known"}, "There is no event nothing-known"),
    ],
)
def test_what_cannot_be_is_said_in_a_sentence(address, job, fields, words):
    answer = post(address, job, **fields)
    assert answer.status_code == 422
    assert words in answer.text


def test_served_again_it_is_the_same_day(folder, address, shop, job):
    post(address, job, act="gone", mix="epoxy-1")
    before = following.look(shop, job)
    seen = httpx.get(f"{address}/jobs/{job}/day").text
    with opened(folder) as record:
        again = Shop(record, folder, clock=lambda: EIGHT)
        with served(again) as other:
            first = httpx.get(f"{other}/jobs/{job}/day/now").text
            assert "being arranged" in first
            httpx.get(f"{other}/jobs/{job}/day/arranged", timeout=60.0)
            # Two phones: one that asked, and one that opens later.
            for _ in range(2):
                assert _days(httpx.get(f"{other}/jobs/{job}/day").text) == _days(seen)
            after = following.look(again, job)
    assert after.days == before.days
    assert [turn.start for turn in after.turns] == [turn.start for turn in before.turns]


def _days(text: str) -> str:
    """The part of the page that tells the day."""
    return text[text.index('id="live"') : text.index("</main>")]
