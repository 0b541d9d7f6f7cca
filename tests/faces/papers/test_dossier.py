"""The paint record as a paper: what the record says, on both sheets, with photographs."""

import hashlib
import zlib
from dataclasses import replace
from datetime import timedelta, timezone

import pytest

from coatwright.actions.dossier.told import Entry, PhotoTold
from coatwright.errors import NotFound
from coatwright.faces.format import Words, polish
from coatwright.faces.papers.record import record_data, record_pdf
from faces.papers.reader import alternatives, bare, size_of, standard_of, text_of

ADDRESS = "http://localhost:8321/jobs/practice/record"
WORDS = Words(currency="GBP")


def _chunk(kind, data):
    body = kind + data
    return len(data).to_bytes(4, "big") + body + zlib.crc32(body).to_bytes(4, "big")


# One grey point, put together as the PNG specification of the W3C says.
PNG = (
    b"\x89PNG\r\n\x1a\n"
    + _chunk(b"IHDR", bytes([0, 0, 0, 1, 0, 0, 0, 1, 8, 0, 0, 0, 0]))
    + _chunk(b"IDAT", zlib.compress(b"\x00\x80"))
    + _chunk(b"IEND", b"")
)


def shows(pdf, *texts):
    found = bare(text_of(pdf))
    return [text for text in texts if bare(polish(text)) not in found]


@pytest.mark.parametrize("paper", ["a4", "us-letter"])
def test_it_is_tagged_and_the_same_every_time(paper, board):
    pdf = record_pdf(board.dossier, WORDS, paper, ADDRESS)
    assert standard_of(pdf) == "1"
    assert size_of(pdf) == {"a4": (595, 842), "us-letter": (612, 792)}[paper]
    assert all(alternatives(pdf))
    assert f"QR code of {ADDRESS}" in alternatives(pdf)
    assert pdf == record_pdf(board.dossier, WORDS, paper, ADDRESS)


def test_it_says_what_the_record_says(board):
    pdf = record_pdf(board.dossier, WORDS)
    patch = board.dossier.areas[0].patches[0]
    (layer,) = patch.layers
    (reading,) = patch.readings
    assert not shows(
        pdf, "Invented.", "solid dark green", "the learner",
        WORDS.text(layer.planned), WORDS.text(layer.found),
        WORDS.text(reading.film), "ISO 19840: passes", "S-4100", "2032-03-31",
        "rubbed through to metal", "4 cm²", "let down, flatted with P1500",
        "Rust came through the old one.", "yes, by telephone", "Mon 5 May 08:20",
        "20.5 °C", "52 %",
    )  # fmt: skip
    for tin in board.dossier.mixes[0].tins:
        assert not shows(pdf, WORDS.brief(tin.poured))
    # What a person wrote is text, not markup.
    assert not shows(pdf, "a bare board, <b>dusty</b> #[not markup]")


def test_sections_as_planned_and_as_found_stand_side_by_side(board):
    patch = board.dossier.areas[0].patches[0]
    _, planned, found = alternatives(record_pdf(board.dossier, WORDS))
    assert WORDS.brief(patch.planned[-1].laid) in planned
    assert WORDS.brief(patch.found[-1].laid) in found
    assert planned != found


def test_care_recoating_and_doubts_are_said(board):
    pdf = record_pdf(board.dossier, WORDS)
    assert not shows(pdf, *(one.text for one in board.dossier.care))
    assert board.dossier.recoats[0].over
    assert not shows(
        pdf, "For the next painter", "30 d before this was printed".replace("30", "31")
    )
    assert board.dossier.doubts
    assert not shows(pdf, *board.dossier.doubts)
    quiet = replace(board.dossier, doubts=())
    assert not shows(record_pdf(quiet, WORDS), "What nobody noted is not in it.")


def test_before_it_is_taken_over_there_is_room_for_a_hand(board):
    pdf = record_pdf(board.dossier, WORDS)
    assert not shows(
        pdf, "Nobody has taken the work over yet.", "To be signed by hand", "Signature", "not yet"
    )
    assert not shows(pdf, "not that it is without fault")


def test_it_says_who_took_it_over_with_what_remarks_and_what_came_after(board):
    told = board.dossier.handover
    said = replace(
        told, by="Ash", at=board.now, how="in the shop", remarks="a run <b>low</b>",
        finished="", since=(), defects=(),
    )  # fmt: skip
    pdf = record_pdf(replace(board.dossier, handover=said), WORDS)
    assert not shows(pdf, "Taken over", "Ash, ", "in the shop", "a run <b>low</b>")
    assert shows(pdf, "Signature") == ["Signature"]
    assert not shows(pdf, "No defect is noted as open.")
    later = Entry("e", board.now, "the painter", "Board", "defect seen")
    again = replace(said, since=(later,), defects=(replace(later, what="runs"),))
    pdf = record_pdf(replace(board.dossier, handover=again), WORDS)
    assert not shows(pdf, "Since then: 1 noted.", "Defect seen", "Signature", "Runs", "anew")


def test_photographs_stand_with_their_captions(board):
    names = {hashlib.sha256(data).hexdigest(): data for data in (PNG, PNG[:-20], b"%PDF-1.7")}
    photos = tuple(
        PhotoTold(name, caption, "Board", board.now, "the painter")
        for name, caption in zip(
            [*names, "0" * 64], ["second coat", "cut short", "a letter", "lost"], strict=True
        )
    )
    told = replace(board.dossier, photos=photos)

    def attached(name):
        if name not in names:
            raise NotFound("the attached file is not there")
        return names[name]

    pdf = record_pdf(told, WORDS, attached=attached)
    assert "Second coat" in alternatives(pdf)
    assert not shows(pdf, "Cut short", "A letter", "Lost")
    assert bare(text_of(pdf)).count(bare("not a picture that can be printed")) == 3


def test_moments_are_told_in_the_zone_it_was_made_in(board):
    zone = timezone(timedelta(hours=5), "UTC+05:00")
    told = replace(board.dossier, made=board.dossier.made.astimezone(zone))
    data = record_data(told, WORDS)
    assert data["zone"] == "UTC+05:00"
    assert data["areas"][0]["patches"][0]["coats"][0][1] == "Mon 5 May 13:20"


def test_an_empty_record_is_a_paper_too(board):
    nothing = replace(
        board.dossier, areas=(), mixes=(), entries=(), photos=(), extras=(), recoats=(),
        first=None, last=None, people=(), events=0,
    )  # fmt: skip
    assert not shows(record_pdf(nothing, WORDS), "nothing laid yet")
