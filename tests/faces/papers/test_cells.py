"""Names that a spreadsheet would compute (OWASP, CSV Injection, from memory) stay text."""

import csv
import io

import pytest

from coatwright.faces.format import Words
from coatwright.faces.papers.tables import as_csv, cell
from coatwright.figures import Figure

WORDS = Words(currency="GBP")


@pytest.mark.parametrize(
    "name",
    ["=1+1", "+44 20", "-2+3", "@SUM(A1)", "\t=1", "\n=1", " =1", "\uff1d1", '=HYPERLINK("x")'],
)
def test_a_name_that_would_be_computed_is_quoted(name):
    (row,) = csv.DictReader(io.StringIO(as_csv([{"title": name}], WORDS), newline=""))
    assert row["title"] == f"'{name}"
    assert cell(name) == f"'{name}"


@pytest.mark.parametrize(
    "name", ["Bonnet", "2:1", "a=b", "Tür, links", 'so "called"', "", "two\nlines"]
)
def test_any_other_name_comes_back_as_it_was(name):
    (row,) = csv.DictReader(io.StringIO(as_csv([{"title": name, "x": 1}], WORDS), newline=""))
    assert row["title"] == name


def test_a_negative_figure_stays_a_number():
    rows = [{"above": Figure(-3e-6, "film", "measured", ""), "count": -4}]
    (row,) = csv.DictReader(io.StringIO(as_csv(rows, WORDS)))
    assert float(row["above [um]"]) == pytest.approx(-3.0)
    assert int(row["count"]) == -4


def test_a_lone_return_does_not_end_the_row():
    (row,) = csv.DictReader(io.StringIO(as_csv([{"title": "a\rb\r\nc"}], WORDS), newline=""))
    assert row["title"] == "a\nb\nc"
