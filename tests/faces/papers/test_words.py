"""Every paper is told in the reader's language and units, but for people's own words."""

import csv
import io
import re
from datetime import date, timedelta
from importlib.resources import files

import pypdf
import pytest

from coatwright.actions.plans import plan_job
from coatwright.actions.workshop import open_bench
from coatwright.faces.arranged.calendar import work_events
from coatwright.faces.format import Words
from coatwright.faces.papers.invoice import Heading, invoice_data, invoice_pdf
from coatwright.faces.papers.pack import PARTS, pack_pdf
from coatwright.faces.papers.press import template_texts
from coatwright.faces.papers.record import record_pdf
from coatwright.faces.papers.tables import as_csv, plan_tables, record_tables
from coatwright.faces.texts import tongue
from coatwright.planning.plan import Plan
from coatwright.record.account import Bill, Line, Unbilled, Yes
from faces.papers.reader import alternatives, even
from faces.papers.test_invoice import SAID
from faces.telling.left_over import AS_SOLD, ENGLISH, METRIC, others, own_words

GERMAN = Words(currency="GBP", tongue=tongue("de"))
US = Words("us", "GBP")
NUMBER = re.compile(r"(?<![\d.:,])\d+\.\d{1,2}(?![\d.:])")
"""A number with a decimal point; with three digits behind it, it may be thousands."""

SHOWN = {
    "Condition, how it was repaired, notes, extra work": (
        "a bare board, <b>dusty</b> #[not markup]", "let down, flatted with P1500, polished",
        "The learner sprayed the back", "new lip on the edge", "Rust came through the old one.",
        "by telephone", "low edge",
    ),
}  # fmt: skip
"""What people wrote in the painted board's record."""


def whole_text(pdf: bytes) -> str:
    """All text of a paper, heads and feet too, and what stands for its pictures."""
    pages = [page.extract_text() for page in pypdf.PdfReader(io.BytesIO(pdf)).pages]
    return even("\n".join([*pages, *alternatives(pdf)]))


def names(plan: Plan, job_file: str) -> list[str]:
    """People's own words in a job and in its record."""
    job = open_bench(job_file).job
    named = [job.title, job.colour, job.owner, job.workshop.title, plan.painter]
    for one in (*job.areas, *job.hands, *job.workshop.guns, *job.workshop.helpers):
        named += [one.title, one.title[:1].upper() + one.title[1:]]
    named += [area.note for area in job.areas]
    named += [patch.key for area in job.areas for patch in area.patches]
    named += [gun.key for gun in job.workshop.guns]
    named += [
        "the painter",
        "the learner",
        "the owner",
        *(x for row in SHOWN.values() for x in row),
    ]
    return own_words(named)


def left(text: str, wrong: re.Pattern[str], own: list[str]) -> list[str]:
    """What is left over in a text, each with what stands around it."""
    text = AS_SOLD.sub("…", others(text, own))
    return [text[max(one.start() - 50, 0) : one.end() + 40] for one in wrong.finditer(text)]


@pytest.fixture(scope="module")
def own(board):
    return names(board.plan, "practice")


PAPERS = {
    **{
        key: (lambda board, words, key=key: pack_pdf(board.plan, words, which=key)) for key in PARTS
    },
    "pack": lambda board, words: pack_pdf(board.plan, words, address="http://localhost:8321"),
    "record": lambda board, words: record_pdf(board.dossier, words),
}


@pytest.mark.parametrize("which", PAPERS)
def test_no_sentence_of_a_paper_is_left_in_english(which, board, own):
    text = whole_text(PAPERS[which](board, GERMAN))
    assert left(text, ENGLISH, own) == []
    assert left(text, NUMBER, own) == []


@pytest.mark.parametrize("which", PAPERS)
def test_no_metric_unit_is_left_on_a_paper_for_us_units(which, board, own):
    assert left(whole_text(PAPERS[which](board, US)), METRIC, own) == []


@pytest.mark.slow
def test_nothing_is_left_over_on_the_papers_of_a_whole_car():
    plan = plan_job("demo")
    own = names(plan, "demo")
    assert left(whole_text(pack_pdf(plan, GERMAN)), ENGLISH, own) == []
    assert left(whole_text(pack_pdf(plan, US)), METRIC, own) == []


def test_a_paper_says_in_which_language_it_is(board):
    """PDF 32000-1, 14.9.2: readers of a file speak it by its natural language."""
    for words, language in ((GERMAN, "de"), (Words(), "en")):
        pdf = pack_pdf(board.plan, words, which="cover")
        assert pypdf.PdfReader(io.BytesIO(pdf)).trailer["/Root"]["/Lang"] == language


BILL = Bill(
    "EUR",
    (Line("block", "Planschleifen", 15 * 3600.0, "hours", 36 / 3600),),
    0.19,
    (Yes("estimate", "Arbeit des Kostenvoranschlags", 1500.0, SAID),),
    300.0,
    (Unbilled("floor", "Bodenblech", 600.0, "der Besitzer sagte nein"),),
)


def test_a_bill_is_german_with_its_dates_and_amounts():
    # How German writes them: Unicode CLDR, through Babel.
    heading = Heading(
        "7", date(2026, 6, 1), "Probetafel", "Salzwiese", "Halter", "de_DE", invented=True
    )
    text = whole_text(invoice_pdf(BILL, heading))
    assert left(text, ENGLISH, own_words(["the owner", "by telephone"])) == []
    assert "1. Juni 2026" in text
    assert "642,60 €" in text  # 540 and 19 % of it
    assert invoice_data(BILL, heading)["kind"] == "Rechnung"


def test_dates_are_german_on_german_papers(board):
    text = whole_text(record_pdf(board.dossier, GERMAN))
    assert "5. Mai 2031" in text
    assert "Mo, 5. Mai 08:20" in text


def test_the_calendar_is_told_to_its_reader(board, own):
    start = board.now
    entries = [(one, start, start + timedelta(minutes=5)) for one in board.plan.day.entries]
    events = work_events("practice", entries, GERMAN)
    assert events
    text = " ".join(f"{one.title} {one.text}" for one in events)
    assert left(text, ENGLISH, own) == []


def test_tables_keep_their_heads_and_numbers_in_every_language(board, own):
    for table in (*plan_tables(board.plan, "pack"), *record_tables(board.dossier)):
        german = list(csv.reader(io.StringIO(as_csv(table.rows, GERMAN))))
        english = list(csv.reader(io.StringIO(as_csv(table.rows, Words(currency="GBP")))))
        assert german[0] == english[0]
        for row, same in zip(german, english, strict=True):
            for one, other in zip(row, same, strict=True):
                if re.fullmatch(r"-?[\d.]+", other):
                    assert one == other
    told = as_csv(dict(_by_name(board))["cost"], GERMAN)
    assert "spritzen" in told


def _by_name(board):
    return [(table.name, table.rows) for table in plan_tables(board.plan, "estimate")]


def test_every_text_of_a_template_is_marked():
    """What a template prints is data or t("..."): a bare sentence in it would stay English."""
    assert "Cautions" in set(template_texts())
    for path in (files("coatwright.faces.papers") / "templates").iterdir():
        text = re.sub(r'//.*|"[^"]*"', "", path.read_text("utf-8"))
        assert re.findall(r"(?<![\w.-])[A-Z][a-z]{2,}\b", text) == [], path.name
