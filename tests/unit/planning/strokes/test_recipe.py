"""The solver must find by itself what painters know (common practice, no source, unless stated)."""

import tomllib
from dataclasses import replace
from importlib.resources import files

import numpy as np
import pytest

from coatwright.engines.spray.section import pass_shares
from coatwright.errors import Infeasible
from coatwright.model.area import Open, Recess
from coatwright.model.hand import Hand
from coatwright.model.job import Bounds, Job
from coatwright.model.kit import Gun
from coatwright.model.material import Material
from coatwright.model.shape import Channel, Flat, Shape, Strip
from coatwright.planning.strokes.layouts import section_of, ways
from coatwright.planning.strokes.ready import ready_paint, run_limit
from coatwright.planning.strokes.recipe import (
    PAINT_SLACK,
    Recipe,
    Task,
    Wanted,
    coat_shares,
    reassess,
    solve,
)
from coatwright.planning.strokes.sampling import samples_for

WRITTEN = {"written": True}
OPEN = Open()
DATA = files("coatwright") / "data"


def sheet(key: str) -> Material:
    text = (DATA / "products" / f"{key}.toml").read_text(encoding="utf-8")
    return Material.model_validate(tomllib.loads(text), context=WRITTEN)


@pytest.fixture(scope="module")
def job() -> Job:
    text = (DATA / "demo" / "larkfield.toml").read_text(encoding="utf-8")
    return Job.model_validate(tomllib.loads(text), context=WRITTEN)


def task(material: Material, shape: Shape, hand: Hand, access=OPEN, **changes) -> Task:
    film = material.film
    paint = ready_paint(material, 293.15)
    wanted = Wanted(
        film.total_min,
        film.total_max,
        film.min,
        film.max,
        film.coats_min,
        film.coats_max + 1,
        film.see_through_first,
    )
    limit = run_limit(material, paint, "vertical")
    return replace(
        Task(ways(shape, access), material, paint, limit, wanted, hand, Bounds()), **changes
    )


def solved(job: Job, key: str, shape: Shape, hand: str = "painter", access=OPEN) -> Recipe:
    return solve(task(sheet(key), shape, job.hand(hand), access), job.workshop.guns)[0]


PANEL = Flat(length=1.2, width=0.8)
NARROW = Strip(length=1.2, width=0.08)


def fan_at_work(recipe: Recipe) -> float:
    setting = recipe.sample.setting
    return setting.fan.length * setting.away / setting.fan.distance


def test_the_fan_is_closed_on_a_narrow_strip_and_open_on_a_panel(job: Job) -> None:
    panel, strip = solved(job, "solid-two-pack", PANEL), solved(job, "solid-two-pack", NARROW)
    assert fan_at_work(strip) < 0.7 * fan_at_work(panel)
    rail = Strip(length=1.2, width=0.04)
    best, every = solve(task(sheet("solid-two-pack"), rail, job.hand()), job.workshop.guns)
    wide = [r for r in every if r.feasible and fan_at_work(r) > 0.9 * fan_at_work(panel)]
    assert wide
    assert min(r.paint for r in wide) > 1.15 * best.paint
    assert fan_at_work(best) < 0.7 * fan_at_work(panel)


def test_a_strip_takes_more_paint_for_its_surface_than_a_panel(job: Job) -> None:
    panel, strip = solved(job, "solid-two-pack", PANEL), solved(job, "solid-two-pack", NARROW)
    assert strip.paint / NARROW.area() > 1.15 * panel.paint / PANEL.area()


def test_a_beginner_gets_less_fluid_less_pressure_and_more_coats(job: Job) -> None:
    """Common practice: about 1.5 bar and half the fluid for a beginner, 2 bar for the practised."""
    painter = solved(job, "solid-two-pack", PANEL)
    learner = solved(job, "solid-two-pack", PANEL, "learner")
    assert 1.7e5 <= painter.pressure <= 2.3e5
    assert 1.4e5 <= learner.pressure <= 1.7e5
    assert learner.flow < 0.75 * painter.flow
    assert learner.coats > painter.coats
    assert learner.mean_dry / learner.coats < painter.mean_dry / painter.coats


def test_a_beginner_at_two_bar_and_full_fluid_runs_more(job: Job) -> None:
    recipe = solved(job, "solid-two-pack", PANEL, "learner")
    full = recipe.full_flow * 2e5 / recipe.pressure
    fuller = reassess(recipe, pressure=2e5, flow=full)
    assert fuller.run_chance > 5 * max(recipe.run_chance, 0.005)


def test_a_doubled_stroke_is_the_place_at_risk(job: Job) -> None:
    recipe = solved(job, "solid-two-pack", PANEL)
    setting, section = recipe.sample.setting, section_of(recipe.subject)
    strokes = setting.layout.strokes
    middle = len(strokes) // 2
    once = pass_shares(section, strokes, setting.fan).sum(axis=1)
    twice = once + pass_shares(section, strokes[middle : middle + 1], setting.fan)[:, 0]
    thickest = int(np.argmax(twice))
    assert abs(section.cells[thickest, [0, 2]].mean() - strokes[middle, 0]) < 0.05
    per = recipe.gain * recipe.task.paint.solids / recipe.task.paint.landed_solids
    assert twice.max() * per > 1.3 * once.max() * per


def test_the_next_coat_too_soon_runs(job: Job) -> None:
    """Common practice: flash short is a cause of runs; the coat before still slides."""
    material = sheet("solid-two-pack")
    flashed = solve(task(material, PANEL, job.hand()), job.workshop.guns)[0]
    at_once = replace(flashed, task=replace(flashed.task, mobile=1.0))
    assert at_once.run_chance > flashed.run_chance + 0.2


def test_a_pocket_is_sprayed_with_a_small_fan(job: Job) -> None:
    """Common practice: undersides and pockets take a spot; most of an open bay the full fan."""
    area = next(area for area in job.areas if area.key == "bay-pockets")
    assert isinstance(area.access, Recess)
    pocket = solved(job, "solid-two-pack", area.shape, access=area.access)
    panel = solved(job, "solid-two-pack", PANEL)
    assert fan_at_work(pocket) < 0.7 * fan_at_work(panel)
    assert pocket.paint / area.gross() > 1.3 * panel.paint / PANEL.area()


def test_high_build_takes_the_big_nozzle_and_each_coat_is_fuller(job: Job) -> None:
    """Common practice: high-build 1.8 mm, colour 1.3 mm; the first coat thin, then fuller."""
    build = solved(job, "high-build", PANEL)
    assert build.gun.nozzle == pytest.approx(1.8e-3)
    assert list(coat_shares(3, True)) == sorted(coat_shares(3, True))
    assert sum(coat_shares(3, True)) == pytest.approx(3.0)
    colour = solved(job, "solid-two-pack", PANEL)
    assert colour.gun.nozzle == pytest.approx(1.3e-3)


def test_the_recipe_keeps_its_bounds_and_reaches_the_film(job: Job) -> None:
    for key in ("epoxy", "high-build", "solid-two-pack"):
        recipe = solved(job, key, PANEL)
        wanted = recipe.task.wanted
        assert recipe.feasible
        assert recipe.run_chance <= recipe.task.bounds.run_chance + 5e-3
        assert recipe.light_chance <= recipe.task.bounds.light_chance + 5e-3
        assert recipe.mean_dry >= wanted.nominal * (1 - 1e-3)
        hand = recipe.task.hand
        assert hand.speed_min <= min(recipe.coat_speeds) + 1e-9
        assert max(recipe.coat_speeds) <= hand.speed_max + 1e-9
        assert max(recipe.coat_flows) <= recipe.full_flow * (1 + 1e-9)


def test_no_candidate_within_the_bounds_beats_the_paint_of_the_chosen_by_more_than_the_slack(
    job: Job,
) -> None:
    best, every = solve(task(sheet("solid-two-pack"), PANEL, job.hand()), job.workshop.guns)
    least = min(r.paint for r in every if r.feasible)
    assert best.paint <= (1 + PAINT_SLACK) * least + 1e-12
    for other in every:
        if other.feasible and other.paint <= (1 + PAINT_SLACK) * least:
            assert best.minutes <= other.minutes + 1e-9


def test_fluid_on_the_panel_is_what_the_film_says(job: Job) -> None:
    """Conservation: paint x capture x transfer x solids = mean dry film x surface."""
    recipe = solved(job, "solid-two-pack", PANEL)
    solids = recipe.task.paint.solids
    kept = recipe.paint * recipe.capture * recipe.transfer * solids
    assert kept == pytest.approx(recipe.mean_dry * PANEL.area(), rel=1e-9)


def test_a_bigger_hand_spread_never_saves_paint(job: Job) -> None:
    painter = job.hand()
    shaky = painter.model_copy(update={"speed_spread": 0.15, "tilt_spread": 0.12})
    steady = solve(task(sheet("epoxy"), PANEL, painter), job.workshop.guns)[0]
    worse = solve(task(sheet("epoxy"), PANEL, shaky), job.workshop.guns)[0]
    assert worse.paint >= steady.paint * (1 - 1e-9)


def test_no_gun_for_the_sheet_is_said_plainly(job: Job) -> None:
    small = tuple(gun for gun in job.workshop.guns if gun.nozzle < 1.1e-3)
    with pytest.raises(Infeasible, match=r"no gun fits .*; its sheet asks for a nozzle of"):
        solve(task(sheet("high-build"), PANEL, job.hand()), small)


def test_same_input_same_recipe(job: Job) -> None:
    gun: Gun = job.workshop.guns[0]
    subject = ways(Channel(length=1.0, width=0.1, depth=0.05), Open())[0]
    samples_for.cache_clear()
    first = [s.films for s in samples_for(subject, gun, job.hand())]
    samples_for.cache_clear()
    again = [s.films for s in samples_for(subject, gun, job.hand())]
    assert all(np.array_equal(a, b) for a, b in zip(first, again, strict=True))
