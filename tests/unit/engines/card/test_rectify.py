"""From a photograph to paint per area: a few photographs of known truth, and those to refuse."""

import cv2
import numpy as np
import pytest

from card_photos import Shot, Truth, paint, replace, taken
from coatwright.engines.card.rectify import decode, rectify
from coatwright.errors import RangeError


def sheet_of(truth, shot, seed=1):
    return rectify(decode(np.frombuffer(taken(truth, shot, seed), np.uint8)))


@pytest.mark.parametrize("peak", [pytest.param(0.4, marks=pytest.mark.slow), 1.2])
def test_bare_paper_is_bare_and_the_middle_as_dense_as_it_was_sprayed(peak):
    truth = Truth(peak=peak)
    sheet = sheet_of(truth, Shot())
    y, x = (size // 2 for size in sheet.density.shape)
    corner = sheet.density[y - 120 : y - 90, 20:80]
    assert abs(float(np.median(corner))) < 0.01
    middle = np.s_[y - 12 : y + 13, x - 60 : x + 61]
    laid = cv2.resize(paint(truth, sheet.layout), sheet.density.shape[::-1])
    bare = np.exp(-sheet.density[middle])[sheet.free[middle]].mean()
    assert bare == pytest.approx(np.exp(-laid[middle])[sheet.free[middle]].mean(), abs=0.02)
    assert sheet.dabbed
    assert sheet.markers == 6
    assert sheet.hidden == 0.0


@pytest.mark.slow
def test_the_paint_of_the_dab_is_read_against_the_paper():
    # Dark green 0.05, 0.09, 0.06 on paper 0.84, 0.88, 0.90: at most 0.0667 in red.
    assert sheet_of(Truth(), Shot(flare=0.0, curve=0.0)).floor == pytest.approx(0.06, abs=0.03)


@pytest.mark.slow
def test_the_light_of_a_near_lamp_is_taken_out():
    lit = Shot(lamp=0.9, lamp_at=(-300.0, -250.0, 600.0), slope=0.25, vignette=4.0)
    sheet = sheet_of(Truth(length=140.0), lit)
    paper = sheet.density[120:300, 30:90]
    assert np.ptp([np.median(part) for part in np.array_split(paper, 6)]) < 0.02


HOSTILE = {
    "blurred": (Shot(blur=7.0), "no marker of a test card is seen in the picture"),
    "soft": (Shot(blur=4.0), "markers are seen, 4 are needed; keep fingers"),
    "dark": (Shot(exposure=0.06), "the picture is too dark, the paper gives"),
    "burnt": (Shot(exposure=1.4), "the picture is overexposed"),
    "hand on it": (Shot(covered=(0, 1, 3)), "only 3 of 6 markers are seen, 4 are needed"),
    "far": (Shot(fill=0.25), "the card is too small in the picture"),
    "barrel": (Shot(barrel=0.08), "the markers miss a flat page by"),
}


@pytest.mark.slow
@pytest.mark.parametrize(("shot", "sentence"), HOSTILE.values(), ids=HOSTILE)
def test_what_cannot_be_read_is_refused_in_a_sentence(shot, sentence):
    with pytest.raises(RangeError, match=sentence) as refused:
        sheet_of(Truth(), shot)
    assert refused.value.instead


def test_white_paint_on_white_paper_is_refused():
    with pytest.raises(RangeError, match="can hardly be told from the paper"):
        sheet_of(Truth(paint=(0.82, 0.86, 0.88)), Shot())


def test_a_picture_of_something_else_is_refused():
    noise = np.random.default_rng(1).integers(0, 255, (600, 800, 3), dtype=np.uint8)
    with pytest.raises(RangeError, match="no marker of a test card is seen"):
        rectify(noise)


@pytest.mark.slow
def test_pale_paint_on_brown_paper_is_read_too():
    """White primer on brown paper: the paint is the lighter of the two."""
    bright = replace(Truth(), paint=(2.4, 1.7, 1.3))
    sheet = sheet_of(bright, Shot(exposure=0.45))
    y, x = (size // 2 for size in sheet.density.shape)
    assert sheet.floor > 1.0
    assert float(np.median(sheet.density[y - 8 : y + 9, x - 40 : x - 20])) == pytest.approx(
        1.1, abs=0.12
    )


def test_no_picture_is_refused():
    with pytest.raises(RangeError, match="it is no JPEG or PNG picture"):
        decode(np.frombuffer(b"GIF89a", np.uint8))
