"""Tables of the papers: plain numbers, in the unit their head names."""

import csv
import io
import json
from dataclasses import replace

import pytest
from typer.testing import CliRunner

from coatwright.actions.dossier.told import Entry
from coatwright.faces.cli.main import app
from coatwright.faces.format import Words
from coatwright.faces.papers.pack import PARTS
from coatwright.faces.papers.tables import as_csv, plan_tables, record_tables
from coatwright.figures import Figure

WORDS = Words(currency="GBP")


def read(rows, words=WORDS):
    return list(csv.DictReader(io.StringIO(as_csv(rows, words))))


def tables(found):
    return {table.name: read(table.rows) for table in found}


def test_every_paper_has_its_tables(board):
    every = tables(plan_tables(board.plan, "pack"))
    for which in PARTS:
        for name, rows in tables(plan_tables(board.plan, which)).items():
            assert rows == every[name]
    assert every["areas"][0]["surface [m2]"] == "0.54"
    reads = [pour.on_scale for need in board.plan.products
             for batch in need.batches for pour in batch.pours]  # fmt: skip
    found = [float(row["scale reads [g]"]) for row in every["mixes"]]
    assert found == pytest.approx([figure.value * 1000 for figure in reads], rel=1e-5)
    money = [row["amount [GBP]"] for row in every["cost"] if row["line"] == "total"]
    assert float(money[0]) == pytest.approx(board.plan.cost.total.value, rel=1e-5)
    assert len(every["days"]) == len(board.plan.day.entries)


def test_the_record_as_tables(board):
    found = tables(record_tables(board.dossier))
    assert {row["batch number"] for row in found["tins"]} == {"S-4100", "S-4101", "T-4102"}
    assert len(found["coats"]) == 3
    assert found["readings"][0]["verdict"] == "passes"
    layer = board.dossier.areas[0].patches[0].layers[0]
    assert float(found["layers"][0]["found [um]"]) == pytest.approx(
        layer.found.value * 1e6, rel=1e-5
    )


def test_who_took_it_over_what_came_after_and_what_is_open_are_a_table(board):
    said = replace(
        board.dossier.handover, by="Ash", at=board.now, remarks="a run",
        since=(Entry("e", board.now, "Wren", "Board", "repaired"),), defects=(),
    )  # fmt: skip
    rows = tables(record_tables(replace(board.dossier, handover=said)))["handing-over"]
    assert [(row["state"], row["who"], row["what"]) for row in rows] == [
        ("taken over", "Ash", "a run"), ("since then", "Wren", "repaired"),
    ]  # fmt: skip
    assert rows[0]["at"] == board.now.isoformat()


def test_a_column_keeps_to_the_unit_of_its_head():
    # 1 US quart is 946.353 mL and 32 fluid ounces (NIST SP 811, Appendix B).
    rows = [
        {"need": Figure(946.352946e-6, "volume", "formula", "")},
        {"need": Figure(946.352946e-6 / 32, "dose", "formula", "", spread=(0.0, 1e-3))},
        {"need": None},
    ]
    first, second, third = read(rows, Words("us"))
    assert float(first["need [US qt]"]) == pytest.approx(1.0)
    assert float(second["need [US qt]"]) == pytest.approx(1 / 32)
    assert second["need [US qt] low"] == "0"
    assert third["need [US qt]"] == ""


def test_no_rows_no_columns():
    assert as_csv([], WORDS) == "\n"


def run(*arguments):
    return CliRunner().invoke(app, ["paper", *map(str, arguments)])


def test_the_command_writes_pdf_csv_and_json(tmp_path):
    done = run("practice", "guns", "--to", tmp_path / "cards.pdf", "--paper", "us-letter")
    assert done.exit_code == 0, done.output
    assert (tmp_path / "cards.pdf").read_bytes().startswith(b"%PDF-")
    done = run("practice", "buying", "--to", tmp_path / "b.csv")
    assert sorted(file.name for file in tmp_path.glob("b*.csv")) == [
        "b-buying.csv", "b-consumables.csv",
    ]  # fmt: skip
    assert "b-buying.csv" in done.output
    run("practice", "estimate", "--to", tmp_path / "e.json", "--units", "us")
    said = json.loads((tmp_path / "e.json").read_text())
    assert (said["title"], said["invented"]) == ("Practice board", True)
    assert said["cost"]["total"]["unit"] == "GBP"


def test_the_command_says_what_is_wrong(tmp_path):
    assert "ends in .pdf, .csv or .json" in run("practice", "air", "--to", "x.doc").output
    assert run("practice", "poster", "--to", "x.pdf").exit_code == 2
    lost = tmp_path / "nowhere" / "x.pdf"
    assert "cannot write" in run("practice", "air", "--to", lost).output.replace("\n", " ")


def test_the_record_of_a_job_that_was_noted(tmp_path, monkeypatch, board):
    from coatwright.actions.record import open_record

    monkeypatch.setenv("COATWRIGHT_RECORD", str(tmp_path))
    unknown = run("practice", "record", "--to", tmp_path / "r.pdf")
    assert "nothing is known of job 'practice'" in str(unknown.exception)
    with open_record() as opened:
        opened.write_all(board.events)
    for kind in ("pdf", "csv", "json"):
        done = run("practice", "record", "--to", tmp_path / f"r.{kind}")
        assert done.exit_code == 0, done.output
    assert json.loads((tmp_path / "r.json").read_text())["colour"] == "solid dark green"
    assert (tmp_path / "r-coats.csv").read_text().count("\n") == 4


def test_the_invoice_of_a_job_of_the_shop(tmp_path, monkeypatch, board):
    from coatwright.actions.money import answer, estimate_put
    from coatwright.actions.record import open_record
    from coatwright.actions.shop import Shop

    monkeypatch.setenv("COATWRIGHT_RECORD", str(tmp_path))
    with open_record() as opened:
        shop = Shop(opened, tmp_path)
        shop.take_in("practice", board.bench.file.text, "the painter")
        refused = run("practice", "invoice", "--to", tmp_path / "i.pdf")
        assert refused.exit_code != 0
        estimate_put(shop, "practice", "the painter")
        answer(shop, "practice", "estimate", True, "the owner", "by telephone")
    for kind in ("pdf", "csv", "json"):
        done = run("practice", "invoice", "--to", tmp_path / f"i.{kind}", "--number", "7")
        assert done.exit_code == 0, done.output
    said = json.loads((tmp_path / "i.json").read_text())
    assert (said["number"], said["invented"]) == ("7", True)
    goods = [line.amount.value for line in board.plan.cost.lines if line.quantity is None]
    assert said["net"] == pytest.approx(sum(goods), abs=0.02)
