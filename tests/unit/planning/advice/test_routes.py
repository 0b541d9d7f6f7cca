"""Routes: the search finds the cheapest legal one, and what painters know comes out of the rules.

What is right: common practice, no source (shop-floor check values and trade advice), unless said.
"""

from itertools import permutations

import pytest

from coatwright.figures import walk
from coatwright.intake.rules import load_rules, load_work
from coatwright.model.area import Area, Cavity
from coatwright.model.hand import Hand
from coatwright.model.job import Job
from coatwright.model.shape import Flat
from coatwright.model.substrate import Patch
from coatwright.planning.advice.acts import Item
from coatwright.planning.advice.compare import compare
from coatwright.planning.advice.context import Context
from coatwright.planning.advice.pricing import Charge, mix_price, simple_price
from coatwright.planning.advice.routes import Adviser
from coatwright.planning.advice.rulebook import Rulebook
from coatwright.planning.advice.search import ahead_of, cheapest
from coatwright.planning.plan import Route
from paint import workshop
from spots import DAY, UM, adviser, library, old, unknown

WORK = load_work()
SOLID = ("solid-two-pack",)
CLEAR = ("base-solvent", "lacquer")
SAME_DAY = Context(metal_waits=False)
WAITS = Context(metal_waits=True)


def patch(ground: str = "bare steel", *layers, **more) -> Patch:
    return Patch(key="patch", ground=ground, layers=layers, **more)


def routes(spot: Patch, goal=SOLID, context: Context = WAITS, surface: float = 1.5):
    materials = [library()[key] for key in goal]
    return adviser().routes(spot, materials, context, simple_price(surface, 45.0, WORK))


def by_key(found: tuple[Route, ...], key: str) -> Route:
    return next(route for route in found if route.key == key)


# --- the search ---------------------------------------------------------------------------------

STARTS = {
    "bare steel": (patch(), SAME_DAY),
    "bare steel that waits": (patch(), WAITS),
    "galvanised": (patch("galvanised steel"), WAITS),
    "GRP": (patch("GRP"), WAITS),
    "filler": (patch("polyester filler"), SAME_DAY),
    "cellulose": (patch("bare steel", old("cellulose", film=80 * UM)), WAITS),
    "unknown": (patch("bare steel", unknown()), WAITS),
    "underside": (patch(), Context(zone="underside")),
    "inside": (patch(), Context(zone="inside", finish="plain")),
}


def brute_force(task, walker, price) -> float:
    """Cheapest legal cost over every ordered choice of up to three undercoats, stripped or not."""
    best = float("inf")
    bare = walker.stripped(task.start)
    begin = [(task.start, 0.0)]
    if task.start.coatings:
        begin.append((bare.stack, sum(price(item).money for item in bare.items)))
    for start, paid in begin:
        for length in range(4):
            for under in permutations(task.undercoats, length):
                cost = cost_of(task, walker, price, (*under, *task.goal), start)
                best = min(best, paid + cost)
    return best


def cost_of(task, walker, price, products, stack) -> float:
    total = 0.0
    for product in products:
        fit = walker.fit(product, stack, task.context, ahead_of(task, product))
        if not fit.possible:
            return float("inf")
        total += sum(price(item).money for item in fit.items)
        stack = fit.stack
    return total


@pytest.mark.parametrize("start", STARTS)
def test_no_cheaper_legal_way_exists(start):
    spot, context = STARTS[start]
    goal = tuple(adviser()._catalogue.by_key[key] for key in SOLID)
    task = adviser()._task(spot, goal, context)
    price = simple_price(1.0, 45.0, WORK)
    found = cheapest(adviser()._walker, task, price, 1)
    expected = brute_force(task, adviser()._walker, price)
    assert found[0].money == pytest.approx(expected, rel=1e-12)


def test_ways_come_cheapest_first_and_are_legal():
    for spot, context in STARTS.values():
        legal = [route for route in routes(spot, context=context) if route.possible]
        assert legal
        prices = [route.money.value for route in legal]
        assert prices == sorted(prices)


def test_impossible_routes_come_last_and_say_why():
    found = routes(patch())
    flags = [route.possible for route in found]
    assert flags == sorted(flags, reverse=True)
    assert all(route.summary.startswith("Not so: ") for route in found if not route.possible)
    assert all(route.findings for route in found if not route.possible)


def test_a_price_of_ones_own_changes_the_ranking():
    """Where an hour costs nothing and epoxy a fortune, etch and high-build wins."""
    free = simple_price(1.0, 0.0, WORK)

    def dear_epoxy(item: Item) -> Charge:
        charge = free(item)
        dear = item.material is not None and item.material.key == "epoxy"
        return charge._replace(money=charge.money + 1e6 * dear)

    found = adviser().routes(patch(), [library()["solid-two-pack"]], SAME_DAY, dear_epoxy)
    assert found[0].products == ("acid-etch", "high-build", "solid-two-pack")


def test_a_search_asks_the_rules_a_few_hundred_times_at_most():
    """A body has some thirty patches; a plan has three seconds."""
    fresh = Adviser(Rulebook(load_rules()), library(), WORK)
    price = simple_price(1.0, 45.0, WORK)
    for spot, context in STARTS.values():
        before = len(fresh._walker._fits)
        fresh.routes(spot, [library()["solid-two-pack"]], context, price)
        assert len(fresh._walker._fits) - before < 200


def test_an_old_primer_is_no_build_but_an_old_finish_is():
    primed = routes(patch("bare steel", old("epoxy primer", film=60 * UM)))
    gloss = routes(patch("bare steel", old("two-pack solid colour", film=60 * UM)))
    assert primed[0].products == ("high-build", "solid-two-pack")
    assert gloss[0].products == ("solid-two-pack",)


# --- what painters know -------------------------------------------------------------------------


def test_the_classical_pair_stands_side_by_side_on_steel_primed_the_same_day():
    found = routes(patch(), context=SAME_DAY)
    titles = [route.title for route in found if route.possible]
    assert {"etch and high-build", "epoxy and high-build"} <= set(titles)


def test_etch_is_impossible_where_the_metal_must_wait_and_epoxy_is_the_choice():
    found = routes(patch(), context=WAITS)
    etch = by_key(found, "acid-etch+high-build+solid-two-pack")
    assert found[0].products == ("epoxy", "high-build", "solid-two-pack")
    assert not etch.possible
    assert "porous" in etch.summary
    assert "keeps water out" in found[0].summary


def test_waiting_takes_its_days():
    soon = by_key(routes(patch(), context=SAME_DAY), "epoxy+high-build+solid-two-pack")
    late = by_key(routes(patch(), context=WAITS), "epoxy+high-build+solid-two-pack")
    assert late.days.value - soon.days.value == pytest.approx(3 * DAY, rel=0.15)


def test_high_build_is_blocked_and_degreased_before_colour():
    route = routes(patch(), context=WAITS)[0]
    acts = [step.act for step in route.steps if step.before == "solid-two-pack"]
    assert acts == ["wait", "block", "degrease"]
    assert next(step.grade for step in route.steps if step.act == "block") == "P500"


def test_metal_is_abraded_before_it_is_degreased():
    route = routes(patch(), context=WAITS)[0]
    assert [(s.act, s.grade) for s in route.steps[:2]] == [
        ("abrade bare", "P120"),
        ("degrease", ""),
    ]


def test_metal_that_is_ready_needs_no_step():
    ready = patch(prepared="P120", degreased=True)
    assert not [s for s in routes(ready)[0].steps if s.before == "epoxy"]


def test_rust_is_removed_first():
    assert routes(patch(rust=True))[0].steps[0].act == "remove rust"


def test_an_inside_of_plain_finish_needs_no_build():
    found = routes(patch(), context=Context(zone="inside", finish="plain"))
    assert found[0].products == ("epoxy", "solid-two-pack")


@pytest.mark.parametrize(
    ("ground", "first"),
    [
        ("galvanised steel", "galvanised-pretreatment"),
        ("GRP", "grp-pretreatment"),
        ("plastic", "plastic-promoter"),
        ("polyester filler", "epoxy"),
    ],
)
def test_a_ground_gets_its_own_first_coat(ground, first):
    assert {r.products[0] for r in routes(patch(ground)) if r.possible} == {first}


def test_aluminium_takes_etch_or_its_own_pretreatment():
    found = routes(patch("aluminium"), context=SAME_DAY)
    firsts = {route.products[0] for route in found if route.possible}
    assert firsts == {"acid-etch", "aluminium-pretreatment"}


def test_unknown_paint_is_tested_and_isolated_or_stripped_and_both_are_priced():
    found = routes(patch("bare steel", unknown()))
    isolate = by_key(found, "epoxy+solid-two-pack")
    stripped = next(route for route in found if route.stripped)
    assert [s.act for s in isolate.steps][:3] == ["test", "test patch", "abrade old"]
    assert "wait" in [s.act for s in isolate.steps if s.before == "solid-two-pack"]
    assert stripped.steps[0].act == "strip"
    assert stripped.steps[0].hours.value == pytest.approx(1800 + 1.5 * 5400)  # 30 min, 90 min/m2
    assert all(step.money.value > 0 for step in (*isolate.steps[:2], stripped.steps[0]))
    assert "Only if the old paint passes" in isolate.summary


def test_a_test_that_may_fail_is_charged_with_the_chance_of_stripping():
    isolate = by_key(routes(patch("bare steel", unknown())), "epoxy+solid-two-pack")
    price = simple_price(1.5, 45.0, WORK)
    plain = sum(price(Item(act)).money for act in ("test",))
    strip = price(Item("strip", wait=3600.0)).money
    charged = isolate.steps[0].money.value
    assert charged == pytest.approx(plain + 0.33 * strip)


def test_cracked_paint_leaves_only_stripping():
    found = routes(patch("bare steel", old("cellulose", sound=False)))
    assert {route.stripped for route in found if route.possible} == {True}


def test_past_300_um_old_plus_new_strip_first():
    thick = routes(patch("bare steel", old("two-pack solid colour", film=280 * UM)))
    thin = routes(patch("bare steel", old("two-pack solid colour", film=120 * UM)))
    assert all(route.stripped for route in thick if route.possible)
    assert not thin[0].stripped


def test_a_thin_coat_is_abraded_off_rather_than_stripped():
    lapsed = patch("bare steel", old("etch primer", film=8 * UM, age=5 * DAY))
    assert routes(lapsed)[0].steps[0].act == "strip thin"


def test_lacquer_follows_basecoat_in_its_window():
    best = routes(patch(), goal=CLEAR)[0]
    assert best.products == ("epoxy", "high-build", "base-solvent", "lacquer")
    assert not [step for step in best.steps if step.before == "lacquer"]
    assert next(s.grade for s in best.steps if s.act == "block") == "P600"


def test_basecoat_alone_is_never_a_finish():
    found = routes(patch(), goal=("base-solvent",))
    assert not [route for route in found if route.possible]


def test_an_underside_is_shown_stone_chip_and_warned_without():
    found = routes(patch(), context=Context(zone="underside", finish="plain"))
    plain = by_key(found, "epoxy+solid-two-pack")
    chip = by_key(found, "epoxy+stone-chip+solid-two-pack")
    assert "underside-without-stone-chip" in {f.rule for f in plain.findings}
    assert "underside-without-stone-chip" not in {f.rule for f in chip.findings}


def test_a_cavity_gets_wax_whatever_is_wanted():
    found = routes(patch(), context=Context(access="cavity", zone="cavity"))
    assert [route.products for route in found] == [("cavity-wax",)]
    assert found[0].possible


# --- figures ------------------------------------------------------------------------------------


def test_film_is_old_plus_new_less_what_rubbing_takes():
    """120 um old, 10 um taken by keying it, 60 um of colour (the middle of 50 to 70)."""
    route = routes(patch("bare steel", old("two-pack solid colour", film=120 * UM)))[0]
    assert route.film.value == pytest.approx(170 * UM)
    assert route.film.spread == pytest.approx((160 * UM, 180 * UM))


def test_every_figure_has_a_source_and_a_spread_that_holds_it():
    for route in routes(patch("bare steel", unknown())):
        for address, figure in walk(route):
            assert figure.source, address
            if figure.spread:
                assert figure.spread[0] <= figure.value <= figure.spread[1], address


def test_cost_of_a_coat_by_hand():
    """Lacquer 2:1 with 5 % thinner on 2 m2, 50 um dry, half of it landing, at 60 an hour.

    Parts 2, 1, 0.15; cheapest packs 142/5, 86/2.5, 29/5 per L; solids (2 x 0.55 + 0.62)/3.15.
    Two coats: 2 x 2 x 4 min and 15 min to clear up = 31 min; masking and such 2 x 2 x 0.60.
    """
    litre = (2 * 142 / 5 + 86 / 2.5 + 0.15 * 29 / 5) / 3.15
    solids = (2 * 0.55 + 0.62) / 3.15
    paint = 2 * 50e-6 * 1000 * litre / solids / 0.5
    traits = adviser()._catalogue.by_key["lacquer"]
    charge = simple_price(2.0, 60.0, WORK)(Item("coat", product=traits, film=50e-6, coats=2))
    assert mix_price(library()["lacquer"]) == pytest.approx(1000 * litre / solids)
    assert charge.hours == pytest.approx(31 * 60)
    assert charge.money == pytest.approx(paint + 31 / 60 * 60 + 2.40)


def test_days_by_hand():
    """4 h of work is half a day; a wait of 4 h is the other half; one of 24 h is a day."""
    price = simple_price(4 * 60 / 60.0, 1.0, WORK)  # 4 m2 at 60 min/m2 of blocking
    assert price(Item("block")).days == pytest.approx(0.5 * DAY)
    assert price(Item("block", wait=4 * 3600.0)).days == pytest.approx(DAY)
    assert price(Item("block", wait=DAY)).days == pytest.approx(1.5 * DAY)


# --- a chosen system, may this go on that, side by side -----------------------------------------


def review(spot: Patch, *keys: str, context: Context = WAITS):
    price = simple_price(1.5, 45.0, WORK)
    return adviser().review([library()[key] for key in keys], spot, context, price)


def test_a_good_system_is_passed_with_the_steps_it_needs():
    chosen = review(patch(), "epoxy", "high-build", "solid-two-pack")
    assert chosen.possible
    assert [layer.possible for layer in chosen.layers] == [True] * 3
    assert "block" in [step.act for step in chosen.route.steps]


def test_a_bad_system_is_faulted_at_the_layer_that_is_wrong():
    chosen = review(patch(), "acid-etch", "epoxy", "base-solvent", context=SAME_DAY)
    assert [layer.possible for layer in chosen.layers] == [True, False, False]
    assert chosen.layers[1].findings[0].rule == "epoxy-over-etch"
    assert {f.rule for f in chosen.layers[2].findings} >= {"basecoat-needs-lacquer"}
    assert not chosen.route.possible


def test_a_system_over_thick_paint_is_reviewed_as_stripped():
    thick = patch("bare steel", old("two-pack solid colour", film=300 * UM))
    chosen = review(thick, "epoxy", "high-build", "solid-two-pack")
    assert chosen.possible
    assert chosen.route.stripped


def test_may_this_go_on_that():
    price = simple_price(1.0, 45.0, WORK)
    asked = adviser().may(
        library()["solid-two-pack"], patch("bare steel", old("cellulose")), WAITS, price
    )
    assert asked.judgement.verdict == "no"
    assert any("lifts" in finding.failure for finding in asked.judgement.blocking)
    assert asked.route is not None
    assert asked.route.products == ("epoxy", "solid-two-pack")


def test_may_a_primer_go_on_that_asks_for_no_finish():
    asked = adviser().may(library()["high-build"], patch(), WAITS, simple_price(1.0, 45.0, WORK))
    assert asked.route is not None
    assert asked.route.products == ("epoxy", "high-build")


def test_trust():
    assert adviser().trust(patch()) == (True, "nothing old is on it")
    assert adviser().trust(patch("bare steel", unknown()))[0] is False
    assert adviser().trust(patch("bare steel", old("cellulose", sound=None)))[0] is False
    assert adviser().trust(patch("bare steel", old("cellulose", sound=False)))[0] is False
    assert adviser().trust(patch("bare steel", old("cellulose"))) == (
        True, "recorded and found sound",
    )  # fmt: skip


def test_two_routes_side_by_side():
    found = routes(patch(), context=SAME_DAY)
    etch = by_key(found, "acid-etch+high-build+solid-two-pack")
    epoxy = by_key(found, "epoxy+high-build+solid-two-pack")
    both = compare(etch, epoxy)
    assert [row.key for row in both.rows] == ["film", "days", "money"]
    for row in both.rows:
        assert row.difference.value == pytest.approx(row.second.value - row.first.value)
    assert "no-barrier-on-metal" in {finding.rule for finding in both.only_first}
    assert "no-barrier-on-metal" not in {finding.rule for finding in both.only_second}
    assert "etch and high-build costs less." in both.sentences


def test_side_by_side_with_one_that_cannot_be():
    found = routes(patch(), context=WAITS)
    both = compare(found[0], by_key(found, "acid-etch+high-build+solid-two-pack"))
    assert both.sentences[0].startswith("etch and high-build: Not so: Etch is porous")


def test_circumstances_of_an_area():
    area = Area(
        key="sill", title="sill", shape=Flat(length=1.0, width=0.1), zone="cavity",
        access=Cavity(), finish="plain", orientation="overhead", patches=(patch(),),
    )  # fmt: skip
    job = Job(
        title="job", workshop=workshop(air=285.15), painter="p", areas=(area,), metal_waits=False,
        hands=(
            Hand(key="p", title="p", speed_spread=0.1, distance_spread=0.1, tilt_spread=0.1,
                 aim_spread=0.01),
        ),
    )  # fmt: skip
    context = Context.of(area, job)
    assert (context.zone, context.access, context.finish) == ("cavity", "cavity", "plain")
    assert (context.orientation, context.metal_waits) == ("overhead", False)
    assert context.air == context.metal == 285.15
