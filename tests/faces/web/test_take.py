"""All of a job as files: read back by general readers and held against the plan and the record."""

import csv
import io
import json
import re
import tomllib
import zipfile
from datetime import datetime, timedelta
from importlib.resources import files

import httpx
import icalendar
import pytest

from coatwright.actions.live.following import look
from coatwright.actions.shop import Shop
from coatwright.record.store.ledger import Record
from web_server import eight, served, sprayed_board

TAKE = "/jobs/board/take"
JSONS = ("plan", "days", "estimate", "record", "state")
TITLE = '=HYPERLINK("x"),Türe'
"""A name that a spreadsheet would compute, with a comma and a letter beyond ASCII."""


@pytest.fixture(scope="module")
def shop(tmp_path_factory):
    text = (files("coatwright") / "data" / "demo" / "practice-board.toml").read_text("utf-8")
    with sprayed_board(tmp_path_factory.mktemp("shop"), eight) as made:
        made.take_in("board", text.replace('"Board, front"', f"'{TITLE}'"), "painter")
        yield made


@pytest.fixture(scope="module")
def client(shop):
    with served(shop) as address, httpx.Client(base_url=address, timeout=120.0) as made:
        yield made


def got(client, name, kind):
    answer = client.get(f"{TAKE}/{name}")
    assert answer.status_code == 200, answer.text[:300]
    assert answer.headers["content-type"] == kind
    told = re.fullmatch(r'attachment; filename="([ -~]+)"', answer.headers["content-disposition"])
    assert told[1].startswith("board")
    return answer.content


def table(data):
    """RFC 4180 as Python's csv module reads it; utf-8-sig passes over the mark at the beginning."""
    return list(csv.DictReader(io.StringIO(data.decode("utf-8-sig"), newline="")))


def test_the_calendar_holds_the_days_of_work(client, shop):
    """Held to icalendar, a general reader, and to RFC 5545 line by line (3.1, 3.4, 3.6.1)."""
    data = got(client, "days.ics", "text/calendar; charset=utf-8")
    lines = data.split(b"\r\n")
    assert lines[-1] == b""
    assert b"\n" not in b"".join(lines)
    assert max(len(line) for line in lines) <= 75
    read = icalendar.Calendar.from_ical(data)
    assert (str(read["VERSION"]), read.errors) == ("2.0", [])
    assert read["PRODID"]
    events = read.walk("VEVENT")
    turns = {f"board.{turn.entry.key}@coatwright": turn for turn in look(shop, "board").turns}
    assert {str(one["UID"]) for one in events} == set(turns)
    assert len(events) == len(turns) > 5
    for one in events:
        turn = turns[str(one["UID"])]
        start = turn.start.replace(tzinfo=None)
        assert abs(one.decoded("DTSTART") - start) < timedelta(seconds=1)
        assert one.decoded("DTEND") > one.decoded("DTSTART")
        assert one.decoded("DTSTAMP").utcoffset() == timedelta(0)
        assert turn.entry.text in str(one["DESCRIPTION"])
    assert any(TITLE in str(one["SUMMARY"]) for one in events)


def test_tables_say_what_the_plan_says_and_compute_nothing(client, shop):
    kind = "text/csv; charset=utf-8; header=present"
    plan = shop.plan("board")
    (area,) = table(got(client, "plan-areas.csv", kind))
    assert area["title"] == f"'{TITLE}"
    assert float(area["surface [m2]"]) == pytest.approx(plan.areas[0].patches[0].surface.value)
    rows = table(got(client, "plan-recipes.csv", kind))
    for row, recipe in zip(rows, plan.recipes.values(), strict=True):
        assert float(row["pressure [bar]"]) == pytest.approx(recipe.pressure.value / 1e5, rel=1e-5)
        assert float(row["fluid [mL/min]"]) == pytest.approx(recipe.fluid.value * 6e7, rel=1e-5)
    reads = [pour for need in plan.products for one in need.batches for pour in one.pours]
    rows = table(got(client, "plan-mixes.csv", kind))
    found = [float(row["scale reads [g]"]) for row in rows]
    assert found == pytest.approx([pour.on_scale.value * 1e3 for pour in reads], rel=1e-5)
    total = [row for row in table(got(client, "plan-cost.csv", kind)) if row["line"] == "total"]
    assert float(total[0]["amount [GBP]"]) == pytest.approx(plan.cost.total.value, rel=1e-5)
    assert len(table(got(client, "plan-days.csv", kind))) == len(shop.days("board").entries)
    assert [row["coat"] for row in table(got(client, "record-coats.csv", kind))] == ["1", "2", "3"]


def test_all_tables_are_in_one_zip_and_each_is_offered_with_what_it_holds(client):
    archive = zipfile.ZipFile(io.BytesIO(got(client, "tables.zip", "application/zip")))
    assert archive.testzip() is None
    page = client.get("/jobs/board/papers").text
    offered = re.findall(r'href="/jobs/board/take/([^"]+)\.csv"', page)
    assert [f"board-{name}.csv" for name in offered] == archive.namelist()
    alone = client.get(f"{TAKE}/plan-areas.csv").content
    assert archive.read("board-plan-areas.csv") == alone
    for name in re.findall(r'href="(/jobs/board/take/[^"]+)"', page):
        assert client.get(name).status_code == 200


def test_json_of_everything_is_what_the_parts_say(client, shop):
    whole = json.loads(got(client, "everything.json", "application/json"))
    assert (whole["job"], whole["currency"]) == ("board", "GBP")
    assert whole["units"].startswith("SI")
    for name in JSONS:
        part = json.loads(got(client, f"{name}.json", "application/json"))
        assert part[name] == whole[name]
    plan = shop.plan("board")
    assert whole["plan"]["cost"]["total"]["value"] == pytest.approx(plan.cost.total.value)
    assert whole["plan"]["areas"][0]["title"] == TITLE
    assert [one["id"] for one in whole["record"]] == [one.id for one in shop.record.events("board")]
    laid = whole["state"]["areas"]["board"]["patches"]["primed"]["layers"]
    assert [coat["number"] for coat in laid[0]["coats"]] == [1, 2, 3]
    assert datetime.fromisoformat(laid[0]["coats"][0]["begun"]).utcoffset() is not None
    assert len(whole["days"]["days"]["entries"]) == len(shop.days("board").entries)
    assert whole["estimate"]["as it stands"]["currency"] == "GBP"


def test_the_job_file_plans_the_same_elsewhere(client, shop, tmp_path):
    data = got(client, "job.toml", "application/toml")
    assert tomllib.loads(data.decode())["areas"][0]["title"] == TITLE
    with Record(f"sqlite:///{tmp_path / 'record.db'}", tmp_path / "files") as record:
        other = Shop(record, tmp_path)
        other.take_in("copy", data.decode(), "painter")
        assert other.open("copy").version == shop.open("board").version


def test_history_names_compute_nothing_either(client, shop):
    shop.undo("board", "=cmd", shop.record.events("board")[-1].id, "@why")
    rows = table(client.get("/jobs/board/record/all.csv").content)
    assert rows[0]["who"] == "'=cmd"
    struck = [row["taken back"] for row in rows if row["taken back"]]
    assert struck == ["'@why"]


def test_the_day_sheets_hold_the_days(client):
    """The days of work are arranged for the paper that tells them."""
    pypdf = pytest.importorskip("pypdf")
    answer = client.get("/jobs/board/papers/days.pdf")
    text = " ".join(one.extract_text() for one in pypdf.PdfReader(io.BytesIO(answer.content)).pages)
    assert "were not arranged" not in text
    assert "08:00" in text or "8:00" in text


@pytest.mark.parametrize(
    "name", ["none.csv", "plan-none.csv", "none.json", "none", "record-none.csv"]
)
def test_what_is_not_there_is_said(client, name):
    answer = client.get(f"{TAKE}/{name}")
    assert answer.status_code == 404
    assert "Traceback" not in answer.text
