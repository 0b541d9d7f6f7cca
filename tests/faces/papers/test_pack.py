"""The job pack and each of its papers: what the plan says, tagged, the same every time."""

from dataclasses import replace

import pytest

from coatwright.errors import NotFound
from coatwright.faces.drawing.day import hour
from coatwright.faces.format import Words, polish
from coatwright.faces.papers.pack import PARTS, pack_data, pack_pdf
from faces.papers.reader import alternatives, bare, kinds, size_of, standard_of, text_of
from sample_plan import sample_plan as sample

SIZES = {"a4": (595, 842), "us-letter": (612, 792)}
ADDRESS = "http://localhost:8321/jobs/practice"


@pytest.fixture(scope="module")
def words(board):
    return Words(currency=board.plan.currency)


def shows(pdf, *texts):
    """Each of these texts stands on the paper, wherever its lines break."""
    found = bare(text_of(pdf))
    return [text for text in texts if bare(polish(text)) not in found]


@pytest.mark.parametrize("paper", SIZES)
@pytest.mark.parametrize("which", ["pack", *PARTS])
def test_every_paper_is_tagged_on_both_sheets(which, paper, board, words):
    pdf = pack_pdf(board.plan, words, paper, which, ADDRESS)
    assert standard_of(pdf) == "1"  # PDF/UA-1, ISO 14289-1
    assert size_of(pdf) == SIZES[paper]
    assert "/H1" in kinds(pdf)
    assert all(alternatives(pdf))
    assert pdf == pack_pdf(board.plan, words, paper, which, ADDRESS)


def test_the_cover_has_the_cost_and_every_caution(board, words):
    pdf = pack_pdf(board.plan, words, which="cover", address=ADDRESS)
    assert not shows(pdf, board.plan.title, words.text(board.plan.cost.total), "Invented.")
    assert len(board.plan.cautions) > 10
    assert not shows(pdf, *(caution.text for caution in board.plan.cautions))
    assert f"QR code of {ADDRESS}" in alternatives(pdf)


def test_areas_say_the_film_of_each_layer_and_draw_the_section(board, words):
    pdf = pack_pdf(board.plan, words, which="areas")
    patch = board.plan.areas[0].patches[0]
    assert not shows(pdf, *(words.text(layer.laid) for layer in patch.layers))
    assert not shows(pdf, f"{words.text(patch.film_total)} over {patch.ground}")
    (section,) = alternatives(pdf)
    assert section.startswith("From the metal up: old: epoxy primer 60")


def test_mixes_say_what_the_scale_reads(board, words):
    pours = [pour for need in board.plan.products for batch in need.batches for pour in batch.pours]
    pdf = pack_pdf(board.plan, words, which="mixes")
    assert len(pours) >= 3
    assert not shows(pdf, *(words.brief(pour.on_scale) for pour in pours))
    mixing = [one.text for one in board.plan.cautions if one.where == "mixing"]
    assert mixing
    assert not shows(pdf, *mixing)


def test_gun_cards_say_every_setting_and_warn(board, words):
    pdf = pack_pdf(board.plan, words, which="guns")
    (recipe,) = board.plan.recipes.values()
    names = ("nozzle", "pressure", "fan", "fluid", "distance", "pace", "pitch", "overlap",
             "strokes", "coats", "overrun")  # fmt: skip
    assert not shows(pdf, *(words.brief(getattr(recipe, name)) for name in names))
    assert not shows(pdf, words.text(recipe.dry_total), "A run comes from", "A light patch")
    hazards = [one.text for one in board.plan.cautions if one.where in ("spraying", "air")]
    assert hazards
    assert not shows(pdf, *hazards)


def test_what_is_the_same_everywhere_stands_once_on_a_card():
    made = sample()
    recipes = list(made.recipes.values())
    one = next(recipe for recipe in recipes)
    other = replace(
        one, key="other", area=made.areas[1].key, pressure=replace(one.pressure, value=1e5)
    )
    same = replace(made, recipes={one.key: one, "other": other})
    cards = pack_data(same, Words(), "guns")["parts"][0]["guns"]
    product = cards[0]["products"][0]
    assert product["heads"] == ["at the gun, pulled"]
    assert [area["cells"][0]["number"] for area in product["areas"]] == [
        Words().show(one.pressure).number,
        "1.0",
    ]
    assert dict(product["same"])["gun to work"]["number"] == Words().show(one.distance).number


def test_air_buying_and_estimate_say_the_plan(board, words):
    air = board.plan.outlook.air_card
    assert not shows(
        pack_pdf(board.plan, words, which="air"),
        *(words.brief(gun.wall) for gun in air.guns), *air.water.advice,
    )  # fmt: skip
    buying = pack_pdf(board.plan, words, which="buying")
    assert not shows(buying, *(words.text(one.price) for one in board.plan.purchases))
    estimate = pack_pdf(board.plan, words, which="estimate")
    cost = board.plan.cost
    assert not shows(estimate, *(words.text(one) for one in (cost.net, cost.tax, cost.total)))
    assert not shows(estimate, *(words.brief(stage.amount) for stage in cost.stages))


def test_day_sheets_list_all_the_work_of_each_day(board, words):
    pdf = pack_pdf(board.plan, words, which="days")
    works = [one for one in board.plan.day.entries if one.kind != "wait"]
    assert len(works) >= 5
    assert not shows(
        pdf, *(hour(one.start.value) for one in works), *(one.text[1:] for one in works)
    )
    without = replace(board.plan, day=None)
    assert not shows(pack_pdf(without, words, which="days"), "were not arranged")


def test_units_follow_the_reader(board):
    us = Words("us", board.plan.currency)
    # The pace is told for a metre, which is 3.28 ft (NIST SP 811, Appendix B).
    pdf = pack_pdf(board.plan, us, "us-letter", "guns")
    (recipe,) = board.plan.recipes.values()
    assert us.brief(recipe.pressure).endswith("psi")
    assert not shows(pdf, us.brief(recipe.pressure), us.brief(recipe.distance), "pace, for 3.28 ft")


def test_what_a_person_wrote_is_never_markup(board, words):
    wild = '#import "x" *bold* <b> $x$ // \\ @ref'
    area = replace(board.plan.areas[0], title=wild)
    plan = replace(board.plan, title=wild, areas=(area,))
    for which in PARTS:
        if which in ("cover", "areas"):
            assert not shows(pack_pdf(plan, words, which=which), wild)


def test_a_paper_there_is_not(board, words):
    with pytest.raises(NotFound, match="there is no paper 'poster'"):
        pack_pdf(board.plan, words, which="poster")
