"""The card as printed: places, sizes, and markers that a camera can find."""

import numpy as np
import pytest

from card_photos import DOTS, drawn
from coatwright.engines.card._finding import find, to_page
from coatwright.engines.card.layout import PAPERS, layout
from coatwright.errors import RangeError
from coatwright.faces.drawing.card import card_svg


@pytest.mark.parametrize("paper", PAPERS)
def test_true_size(paper):
    wide = {"A4": 'width="297mm" height="210mm"', "Letter": 'width="279.4mm" height="215.9mm"'}
    assert wide[paper] in card_svg(layout(paper))


@pytest.mark.parametrize("paper", PAPERS)
def test_nothing_lies_over_anything_else_nor_in_the_band(paper):
    card = layout(paper)
    boxes = [one.box for one in (*card.markers, *card.greys)] + [card.dab, card.written[0]]
    boxes += [card.written[1], card.bar, card.band]
    for i, a in enumerate(boxes):
        assert a.x >= 0
        assert a.y >= 0
        assert a.x + a.width <= card.width
        assert a.y + a.height <= card.height
        for b in boxes[i + 1 :]:
            apart_x = a.x + a.width <= b.x or b.x + b.width <= a.x
            apart_y = a.y + a.height <= b.y or b.y + b.height <= a.y
            assert apart_x or apart_y, (a, b)


@pytest.mark.parametrize("paper", PAPERS)
def test_the_printed_page_is_found_at_its_true_scale(paper):
    page = np.pad((255 * drawn(paper, 1.0)).astype(np.uint8), 40, constant_values=255)
    found = find(page)
    card = layout(paper)
    assert found.layout.paper == paper
    assert found.markers == 6
    assert found.fit < 0.1e-3
    corners = np.array(((0.0, 0.0), (card.width, card.height)))
    seen = to_page(found.view, corners * 1e3 * DOTS + 40 - 0.5)
    assert np.abs(seen - corners).max() < 0.1e-3


def test_the_papers_share_no_marker():
    numbers = [one.number for paper in PAPERS for one in layout(paper).markers]
    assert len(numbers) == len(set(numbers)) == 12


def test_another_paper_is_refused():
    with pytest.raises(RangeError, match=r"^there is no card on 'A5'; use A4 or Letter$"):
        layout("A5")
