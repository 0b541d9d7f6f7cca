"""From a photograph to paint per area: a few photographs of known truth, and those to refuse."""

import cv2
import numpy as np
import pytest

from card_photos import Shot, Truth, paint, taken
from coatwright.engines.card.rectify import decode, rectify
from coatwright.errors import RangeError


def sheet_of(truth, shot, seed=1):
    return rectify(decode(np.frombuffer(taken(truth, shot, seed), np.uint8)))


def test_bare_paper_is_bare_and_the_middle_is_as_dense_as_it_was_sprayed():
    sheet = sheet_of(Truth(peak=1.2), Shot())
    y, x = (size // 2 for size in sheet.density.shape)
    corner = sheet.density[y - 120 : y - 90, 20:80]
    assert abs(float(np.median(corner))) < 0.01
    middle = np.s_[y - 12 : y + 13, x - 60 : x + 61]
    laid = cv2.resize(paint(Truth(peak=1.2), sheet.layout), sheet.density.shape[::-1])
    bare = np.exp(-sheet.density[middle])[sheet.free[middle]].mean()
    assert bare == pytest.approx(np.exp(-laid[middle])[sheet.free[middle]].mean(), abs=0.02)
    assert sheet.dabbed
    assert sheet.markers == 6


def test_no_picture_is_refused():
    with pytest.raises(RangeError, match="it is no JPEG or PNG picture"):
        decode(np.frombuffer(b"GIF89a", np.uint8))
