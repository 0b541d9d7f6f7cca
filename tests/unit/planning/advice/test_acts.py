"""What the work of preparation does to a surface, act by act (common practice, no source)."""

import pytest

from coatwright.intake.rules import load_work
from coatwright.planning.advice.acts import Want, lay, prepare, strip
from coatwright.planning.advice.stack import Stack
from spots import DAY, HOUR, UM, Spot, adviser, old, unknown

WORK = load_work()


def traits(key: str):
    return adviser()._catalogue.by_key[key]


def prepared(stack: Stack, product: str, *needs: str):
    return prepare(stack, Want(traits(product), frozenset(needs), WORK))


def acts(stack: Stack, product: str, *needs: str) -> list[str]:
    ready = prepared(stack, product, *needs)
    assert ready is not None
    return [item.act for item in ready.items]


def test_order_is_rust_abrade_degrease():
    rusty = Spot("epoxy", patch={"rust": True, "prepared": None}).stack()
    assert acts(rusty, "epoxy", "degreased", "keyed", "rust removed") == [
        "remove rust", "abrade bare", "degrease",
    ]  # fmt: skip


def test_abrading_ends_with_degreasing_asked_for_or_not():
    assert acts(Spot("epoxy").stack(), "epoxy", "keyed") == ["abrade bare", "degrease"]


def test_bare_ground_is_abraded_with_its_own_grade_and_is_fresh_again():
    bare = Spot("acid-etch", "aluminium", context={"bare_for": DAY}).stack()
    ready = prepared(bare, "acid-etch", "freshly keyed").stack
    assert (ready.grade, ready.scratch, ready.bare_for) == (180, 180, 0.0)
    assert ready.degreased


@pytest.mark.parametrize(
    ("product", "grade"),
    [("solid-two-pack", 500), ("base-solvent", 600), ("sealer", 400), ("high-build", 240)],
)
def test_a_coat_is_keyed_for_what_comes_next(product, grade):
    gloss = Spot(product, layers=(old("two-pack solid colour"),)).stack()
    assert prepared(gloss, product, "keyed").stack.grade == grade


def test_a_fresh_coat_is_left_to_dry_before_it_is_rubbed():
    """The shipped sheet: recoat after 3 h, dry to sand after 4 h: one more hour to wait."""
    fresh = Spot("solid-two-pack", laid=("epoxy", "high-build")).stack()
    ready = prepared(fresh, "solid-two-pack", "keyed")
    assert [item.act for item in ready.items] == ["wait", "block", "degrease"]
    assert ready.items[0].wait == pytest.approx(HOUR)
    assert ready.stack.top.age == pytest.approx(4 * HOUR)
    assert ready.stack.top.film < fresh.top.film
    assert not ready.stack.rough


def test_a_coat_that_cannot_be_rubbed_cannot_be_keyed():
    assert (
        prepared(Spot("lacquer", laid=("epoxy", "base-solvent")).stack(), "lacquer", "keyed")
        is None
    )


def test_a_need_that_no_work_meets_is_refused():
    assert prepared(Spot("high-build").stack(), "high-build", "isolated") is None


def test_waiting_for_cure():
    """Epoxy: through-dry after 48 h, recoatable after 30 min."""
    ready = prepared(Spot("spray-polyester", laid=("epoxy",)).stack(), "spray-polyester", "cured")
    assert ready.items[0].wait == pytest.approx(47.5 * HOUR)
    assert ready.stack.top.cured


def test_waiting_out_the_lifting_zone():
    """Synthetic lifts from 6 h to 5 d."""
    soft = Spot("synthetic", laid=("epoxy", "synthetic"), top={"age": DAY}).stack()
    ready = prepared(soft, "synthetic", "waited")
    assert ready.items[0].wait == pytest.approx(4 * DAY)


def test_tests_are_taken_as_passed_and_the_film_as_usual():
    ready = prepared(Spot("epoxy", layers=(unknown(),)).stack(), "epoxy", "tested")
    top = ready.stack.top
    assert (top.sound, top.film) == (True, pytest.approx(130 * UM))
    assert "solvent rub" in ready.stack.tests
    assert ready.items[0].risk


def test_a_test_does_not_mend_what_is_known_to_be_cracked():
    cracked = Spot("epoxy", layers=(old("cellulose", sound=False),)).stack()
    assert prepared(cracked, "epoxy", "tested").stack.top.sound is False


def test_the_converter_is_washed():
    ready = prepared(Spot("epoxy", layers=(old("rust converter"),)).stack(), "epoxy", "washed")
    assert ready.stack.top.washed


def test_stripping_leaves_bare_ground_and_thin_films_are_abraded_off():
    thick = Spot("epoxy", layers=(old("cellulose", film=90 * UM),)).stack()
    thin = Spot("epoxy", layers=(old("etch primer", film=9 * UM),)).stack()
    unknown_film = Spot("epoxy", layers=(old("etch primer", film=None),)).stack()
    assert [strip(s, WORK).items[0].act for s in (thick, thin, unknown_film)] == [
        "strip", "strip thin", "strip",
    ]  # fmt: skip
    assert strip(thick, WORK).stack.coatings == ()


def test_a_coat_that_stood_for_days_is_degreased_again():
    waits = Spot("high-build", laid=("epoxy",), context={"metal_waits": True}).stack()
    soon = Spot("high-build", laid=("epoxy",)).stack()
    assert (waits.top.age, soon.top.age) == (3 * DAY, 0.5 * HOUR)
    assert (waits.degreased, soon.degreased) == (False, True)


def test_a_thin_coat_follows_the_scratch_and_a_thick_one_levels_it():
    coarse = Spot("epoxy", patch={"prepared": "P80"})
    assert lay(traits("acid-etch"), coarse.stack(), coarse.where()).stack.scratch == 80
    assert lay(traits("epoxy"), coarse.stack(), coarse.where()).stack.scratch is None


def test_a_coat_does_not_level_a_scratch_coarser_than_it_hides():
    coarse = Spot("solid-two-pack", patch={"prepared": "P80"})
    assert lay(traits("solid-two-pack"), coarse.stack(), coarse.where()).stack.scratch == 80


def test_texture_of_a_build_stays_under_thin_coats_until_it_is_rubbed():
    assert Spot("epoxy", laid=("epoxy", "high-build")).stack().rough
    assert Spot("epoxy", laid=("epoxy", "high-build", "epoxy")).stack().rough
    assert not Spot("epoxy", laid=("epoxy",)).stack().rough


def test_coats_are_the_film_by_the_middle_of_a_coat():
    """Solid colour: 60 um in coats of 25 um is three coats; etch 7.5 um in one."""
    bare = Spot("epoxy")
    solid = lay(traits("solid-two-pack"), bare.stack(), bare.where()).items[0]
    etch = lay(traits("acid-etch"), bare.stack(), bare.where()).items[0]
    assert (solid.coats, etch.coats) == (3, 1)
