"""The whole chain on the invented demo: what must hold for any plan."""

from dataclasses import replace

import pytest

from coatwright.actions import plans
from coatwright.actions.explain import citations
from coatwright.actions.workshop import open_bench
from coatwright.errors import InputErrors, NotFound
from coatwright.figures import walk
from coatwright.planning.build import areas_of
from coatwright.planning.plan import Plan
from coatwright.planning.strokes import sampling, spraying
from coatwright.planning.strokes.spraying import layerings
from coatwright.planning.systems import choose


@pytest.fixture(scope="module")
def plan(planned_demo) -> Plan:
    return replace(planned_demo, day=None)


def test_every_area_has_a_system_and_every_sprayed_layer_a_recipe(plan: Plan) -> None:
    job = open_bench("demo").job
    assert [area.key for area in plan.areas] == [area.key for area in job.areas]
    for area in plan.areas:
        for patch in area.patches:
            assert patch.layers
            for layer in patch.layers:
                if area.access == "cavity":
                    assert not layer.recipe
                elif layer.recipe:
                    assert plan.recipes[layer.recipe].product == layer.product


def test_paint_mixed_covers_what_is_needed_and_what_is_bought_covers_what_is_mixed(
    plan: Plan,
) -> None:
    for need in plan.products:
        mixed = sum(batch.volume.value for batch in need.batches)
        if need.batches:
            expected = need.volume.value - need.reserve.value
            assert mixed >= expected * (1 - 1e-6) or mixed >= need.on_surface.value
        assert sum(f.value for f in need.by_area.values()) > 0
    for purchase in plan.purchases:
        assert purchase.bought.value >= purchase.need.value * (1 - 1e-9)
        assert purchase.left.value == pytest.approx(
            purchase.bought.value - purchase.need.value, abs=1e-9
        )


def test_paint_of_an_area_is_trigger_time_times_fluid(plan: Plan) -> None:
    """Conservation, by hand from the card: paint x capture x transfer x solids = film x surface."""
    surface = {area.key: area.surface.value for area in plan.areas}
    shares: dict[tuple[str, str], float] = {}
    for area in plan.areas:
        for patch in area.patches:
            for layer in patch.layers:
                place = area.key, layer.product
                shares[place] = shares.get(place, 0.0) + patch.share.value
    for recipe in plan.recipes.values():
        wet = recipe.paint.value * recipe.capture.value * recipe.transfer.value
        covered = surface[recipe.area] * shares[recipe.area, recipe.product]
        solids = float(str(recipe.dry_total.inputs["solids"]).rstrip("%")) / 100
        # tolerance: solids stand on the card with one decimal
        assert wet * solids / covered == pytest.approx(recipe.dry_total.value, rel=5e-3)


def test_every_figure_can_say_where_it_came_from(plan: Plan) -> None:
    known = citations()
    found = walk(plan)
    assert len(found) > 2000
    plain = {"job file", "common practice, no source"}
    for address, figure in found:
        assert (
            figure.source in known or figure.source in plain or figure.source.startswith("sheet:")
        ), (address, figure.source)
        assert figure.value == figure.value, address
        if figure.spread is not None:
            low, high = figure.spread
            assert low <= high, address


def test_old_paint_of_unknown_history_is_not_trusted_and_its_test_is_priced(plan: Plan) -> None:
    lid = next(area for area in plan.areas if area.key == "boot-lid")
    patch = next(p for p in lid.patches if p.key == "old-paint")
    assert not patch.trusted
    acts = {step.act for step in patch.route.steps}
    assert acts & {"test", "strip"}
    assert all(step.money.value >= 0 for step in patch.route.steps)
    assert sum(step.money.value for step in patch.route.steps) > 0


def test_a_wrong_system_chosen_by_a_person_is_told_in_the_trades_words(plan: Plan) -> None:
    wrong = [
        patch
        for area in plan.areas
        for patch in area.patches
        if patch.chosen_by == "person" and not patch.route.possible
    ]
    assert wrong
    assert any(f.severity in ("fault", "ruin") for f in wrong[0].route.findings)
    assert any("against the rules" in note for note in plan.notes)


def test_enough_is_left_after_rubbing_down(plan: Plan) -> None:
    for area in plan.areas:
        for patch in area.patches:
            for layer in patch.layers:
                if layer.rubs:
                    assert layer.rubs[-1].left.value > 0
                    assert layer.rubs[-1].break_through.value < 0.05


def test_results_do_not_depend_on_the_number_of_threads(monkeypatch: pytest.MonkeyPatch) -> None:
    bench = open_bench("practice")
    chosen = choose(bench.job, bench.job.areas, bench.shop.adviser, bench.library)
    found = layerings(chosen)
    films = []
    for threads in (1, 2):
        sampling.samples_for.cache_clear()
        sampling.settings_for.cache_clear()
        monkeypatch.setattr(spraying, "THREADS", threads)
        done = spraying.spray_all(found, bench.job)
        films.append([one.recipe.paint for one in done.values()])
    assert films[0] == films[1]
    assert films[0]


def test_one_area_alone_and_an_unknown_one() -> None:
    alone = plans.plan_job("demo", "bay-strips")
    assert [area.key for area in alone.areas] == ["bay-strips"]
    with pytest.raises(NotFound, match="there is no area 'bay-strip' in this job; its areas are"):
        plans.plan_job("demo", "bay-strip")
    assert areas_of(open_bench("demo").job, None)


def test_an_unknown_product_is_named_with_its_line(tmp_path) -> None:
    text = plans.start_job("Test").replace('topcoat = ["solid-two-pack"]', 'topcoat = ["solid"]')
    if '"solid"' not in text:
        text = 'topcoat = ["solid"]\n' + text
    path = tmp_path / "job.toml"
    path.write_text(text, encoding="utf-8")
    with pytest.raises(InputErrors, match=r"job\.toml:\d+, topcoat.*solid-two-pack"):
        plans.plan_job(str(path))


def test_a_beginners_recipe_beside_the_painters() -> None:
    painter = plans.recipes_for("demo", "bonnet", "solid-two-pack")[0]
    learner = plans.recipes_for("demo", "bonnet", "solid-two-pack", hand="learner")[0]
    assert learner.coats.value > painter.coats.value
    assert learner.fluid.value < painter.fluid.value
    assert learner.pressure.value < painter.pressure.value


def test_a_mix_by_volume_and_by_weight_agree() -> None:
    by_volume = plans.mix(None, "high-build", "600 mL")
    grams = by_volume.mass.value * 1e3
    by_weight = plans.mix(None, "high-build", f"{grams:.9f} g")
    assert by_weight.volume.value == pytest.approx(by_volume.volume.value, rel=1e-6)
