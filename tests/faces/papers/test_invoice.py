"""The bill as PDF, CSV and JSON: the same amounts in all three. All invented."""

import csv
import io
import json
from datetime import UTC, date, datetime

import pypdf
import pytest

from coatwright.faces.papers.invoice import Heading, invoice_csv, invoice_json, invoice_pdf
from coatwright.record.account import Bill, Line, Unbilled, Yes
from coatwright.record.state import Decision, Place

SAID = Decision(
    Place("e1", datetime(2026, 5, 4, 9, tzinfo=UTC), "the owner", "", ""),
    True,
    "the owner",
    "by telephone",
    None,
)
BILL = Bill(
    "GBP",
    (
        Line("block", "blocking", 15 * 3600.0, "hours", 36 / 3600),
        Line("paint", "paint & <b>thinner</b> #[x]", 1.0, "sum", 500.0),
    ),
    0.2,
    (Yes("estimate", "the work of the estimate", 1500.0, SAID),),
    300.0,
    (Unbilled("floor", "floor pan", 600.0, "the owner said no"),),
)
HEADING = Heading("2026-7", date(2026, 6, 1), "Larkfield 1300", "Saltmarsh Lane", "the owner")


def text_of(pdf: bytes) -> str:
    found = "\n".join(page.extract_text() for page in pypdf.PdfReader(io.BytesIO(pdf)).pages)
    return found.replace("\xa0", " ")


@pytest.mark.parametrize("paper", ["a4", "us-letter"])
def test_the_paper_says_what_the_bill_says(paper):
    pdf = invoice_pdf(BILL, HEADING, paper)
    found = text_of(pdf)
    for amount in (
        "£540.00",
        "£500.00",
        "£1,040.00",
        "£208.00",
        "£1,248.00",
        "-£300.00",
        "£948.00",
    ):
        assert amount in found
    assert "15.00 h" in found
    assert "yes of the owner, 4 May 2026, by telephone" in found
    assert "the owner said no" in found
    # What a person wrote is text, not markup.
    assert "Paint & <b>thinner</b> #[x]" in found
    box = pypdf.PdfReader(io.BytesIO(pdf)).pages[0].mediabox
    assert (round(box.width), round(box.height)) == {"a4": (595, 842), "us-letter": (612, 792)}[
        paper
    ]


def test_it_is_tagged_and_the_same_every_time():
    pdf = invoice_pdf(BILL, HEADING)
    reader = pypdf.PdfReader(io.BytesIO(pdf))
    assert reader.trailer["/Root"]["/MarkInfo"]["/Marked"]
    assert reader.metadata.title == "Invoice 2026-7"
    assert pdf == invoice_pdf(BILL, HEADING)


def test_the_table_adds_up():
    rows = list(csv.DictReader(io.StringIO(invoice_csv(BILL))))
    sums = {row["key"]: float(row["net"]) for row in rows}
    assert sums["block"] + sums["paint"] == sums["net"] == 1040.0
    assert sums["net"] + sums["tax"] == sums["total"] == 1248.0
    assert sums["due"] == 948.0
    assert (rows[0]["quantity"], rows[0]["unit"], rows[0]["price"]) == ("15", "hours", "36.00")


def test_the_data_is_whole():
    said = json.loads(invoice_json(BILL, HEADING))
    assert said["due"] == 948.0
    assert said["agreed"][0]["at"] == "2026-05-04T09:00:00+00:00"
    assert said["not_billed"] == [
        {"what": "floor pan", "amount": 600.0, "why": "the owner said no"}
    ]


@pytest.mark.parametrize(
    ("locale", "currency", "amount"),
    [("de_DE", "EUR", "1.248,00 €"), ("en_US", "USD", "$1,248.00"), ("ja_JP", "JPY", "￥1,248")],
)
def test_amounts_are_set_for_the_reader(locale, currency, amount):
    # How the locales write them: Unicode CLDR, through Babel.
    from dataclasses import replace

    from coatwright.faces.papers.invoice import invoice_data

    data = invoice_data(replace(BILL, currency=currency), replace(HEADING, locale=locale))
    total = next(row for row in data["sums"] if row["strong"])["amount"]
    assert total.replace("\xa0", " ") == amount


if __name__ == "__main__":  # to look at it: python tests/faces/papers/test_invoice.py out.pdf
    import sys
    from pathlib import Path

    Path(sys.argv[1]).write_bytes(invoice_pdf(BILL, HEADING))
