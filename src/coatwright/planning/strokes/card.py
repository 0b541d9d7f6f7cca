"""A solved recipe in Figures: every number with its formula, inputs, source and spread."""

from typing import Any

import numpy as np

from coatwright.figures import Basis, Figure
from coatwright.planning.plan import Choice, Profile, StrokeRecipe
from coatwright.planning.strokes.layouts import section_of
from coatwright.planning.strokes.ready import RUN_SLIDE
from coatwright.planning.strokes.recipe import LIGHT, Recipe, fullest, least
from coatwright.sentences import joined, say


def _f(
    value: float, purpose: str, formula: str = "", source: str = "stroke-recipe", **more: Any
) -> Figure:
    """A Figure from a formula of this module unless `more` says otherwise."""
    basis: Basis = more.pop("basis", "formula")
    return Figure(float(value), purpose, basis, source, formula, **more)


def card(
    recipe: Recipe, every: tuple[Recipe, ...], *, area: str, share: float, faces: float
) -> StrokeRecipe:
    """The StrokeRecipe of an area: share of it sprayed with this product, number of equal faces.

    faces counts both sides and pieces, less the holes' share of the surface.
    """
    task, setting, gun = recipe.task, recipe.sample.setting, recipe.gun
    material = task.material
    pieces = share * faces
    settings = _settings(recipe)
    film = _film(recipe, settings)
    paint = _paint(recipe, pieces, settings)
    return StrokeRecipe(
        key=f"{area}-{material.key}",
        area=area,
        product=material.key,
        gun=gun.key,
        gun_title=gun.title,
        hand=task.hand.key,
        spray_in=setting.layout.text,
        direction="across" if recipe.subject.across else "along",
        **settings,
        **film,
        **paint,
        profile=_profile(recipe),
        choices=_choices(recipe, every, pieces),
        advice=_advice(recipe, every),
        within_bounds=recipe.feasible,
        shortfall=recipe.shortfall,
        run_bound=_bound(task.bounds.run_chance),
        light_bound=_bound(task.bounds.light_chance),
    )


def _bound(chance: float) -> Figure:
    return _f(chance, "fraction", basis="entered", source="job file")


def _settings(recipe: Recipe) -> dict[str, Figure]:
    gun, task = recipe.gun, recipe.task
    flow = _f(
        recipe.flow,
        "flow",
        "G x speed / transfer",
        inputs={"G = flow x transfer / speed": f"{recipe.gain * 1e6:.4g} mm2"},
    )
    full = f"{recipe.full_flow * 6e7:.0f} mL/min"
    return {
        "nozzle": _f(gun.nozzle, "length", basis="entered", source="job file"),
        "pressure": _f(
            recipe.pressure,
            "pressure",
            "lowest pressure whose droplets are no coarser than in the gun's own fluid test",
            "airblast-droplets",
            inputs={"gun test": f"{gun.title}, {gun.fluid_pressure / 1e5:.1f} bar"},
            spread_note="at the gun, trigger pulled",
        ),
        "fluid": flow,
        "fluid_share": _f(
            recipe.flow / recipe.full_flow,
            "fraction",
            "flow / full-trigger flow at this pressure",
            "hagen-poiseuille",
            inputs={"full": full, "flow": flow},
        ),
        "droplets": _f(
            recipe.droplets, "fraction", "size against the gun's own test", "airblast-droplets"
        ),
        "speed": _f(
            recipe.speed,
            "speed",
            "the fastest the hand and the full fluid allow",
            inputs={"hand": task.hand.title},
        ),
        "pace": _f(1.0 / recipe.speed, "seconds", "time for one metre: 1 / speed"),
        "coats": _f(recipe.coats, "count", "weighed over what the sheet allows"),
        **_strokes(recipe),
    }


def _strokes(recipe: Recipe) -> dict[str, Figure]:
    setting = recipe.sample.setting
    reach = setting.away
    grown = setting.fan.length * reach / setting.fan.distance
    distance = _f(reach, "length", "weighed over the gun's range; a pocket's mouth may force more")
    fan_length = _f(
        grown,
        "length",
        "fan length at the reference distance x distance / reference",
        "double-beta",
        inputs={"distance": distance},
    )
    return {
        "fan": _f(
            setting.opening, "fraction", "share of the fan control between spot and wide open"
        ),
        "fan_length": fan_length,
        "distance": distance,
        "pitch": _f(setting.layout.pitch, "length", "strokes spread evenly over the section"),
        "overlap": _f(
            max(0.0, 1.0 - setting.layout.pitch / grown),
            "fraction",
            "1 - pitch / fan length",
            inputs={"fan length": fan_length},
        ),
        "strokes": _f(setting.layout.count, "count", "strokes of one coat on one face"),
        "overrun": _f(
            recipe.overrun,
            "length",
            "half the fan's width at this distance + 0.05 s of travel",
            "assumption",
        ),
    }


def _film(recipe: Recipe, settings: dict[str, Figure]) -> dict[str, Figure]:
    task, sample = recipe.task, recipe.sample
    per = recipe.gain * task.paint.solids
    laid, one = per * recipe.coats, per / task.paint.landed_solids
    low, high, thinnest = (laid * sample.level(recipe.shares, p) for p in (0.1, 0.9, 0.02))
    mean = recipe.mean_dry
    mass = {"speed": settings["speed"], "fluid": settings["fluid"], "coats": settings["coats"]}
    return {
        "wet_coat": _f(
            mean / recipe.coats / task.paint.landed_solids,
            "film",
            "dry film of a coat / volume solids as landed",
            "wft-dft",
            inputs={"solids as landed": f"{task.paint.landed_solids:.0%}"},
            spread=(one * sample.level((1.0,), 0.1), one * sample.level((1.0,), 0.9)),
        ),
        "dry_coat": _f(mean / recipe.coats, "film", "dry film / coats", inputs=mass),
        "dry_total": _f(
            mean,
            "film",
            "coats x flow x transfer x solids / speed x share of the pass per breadth",
            "double-beta",
            inputs={**mass, "solids": f"{task.paint.solids:.1%}"},
            spread=(low, high),
            spread_note="10 to 90 % of spots, in this hand",
        ),
        "thinnest": _f(
            thinnest, "film", "film that 2 % of spots fall below", spread_note="in this hand"
        ),
        **_risks(recipe),
    }


def _risks(recipe: Recipe) -> dict[str, Figure]:
    task = recipe.task
    thickness = task.paint.landed_viscosity * task.paint.density
    flow = task.material.flow
    return {
        "run_limit": _f(
            task.run_limit,
            "film",
            f"film whose surface slides {RUN_SLIDE * 1e3:.0f} mm before it sets",
            "sag-setting-film",
            inputs={
                "viscosity as landed": f"{thickness * 1e3:.0f} mPa s",
                "setting time": f"{flow.set_time:.0f} s",
                "yield stress": f"{flow.yield_stress:.1f} Pa",
            },
        ),
        "run_chance": _f(
            recipe.run_chance,
            "fraction",
            "share of spots and draws past the run limit in the fullest coat",
            "hand-sampling",
        ),
        "light_chance": _f(
            recipe.light_chance,
            "fraction",
            f"share of spots and draws under {LIGHT:.0%} of the wanted film after the last coat",
            "iso-19840",
        ),
    }


def paint_spread(recipe: Recipe) -> float:
    """Relative standard deviation of the paint a recipe takes.

    Transfer (the gun's own spread), delivery 8 % (assumption) and the coat-wide part of the
    hand's speed, in quadrature.
    """
    common = recipe.task.hand.speed_spread**2 / 2 / recipe.coats
    transfer = (recipe.gun.transfer_spread / recipe.gun.transfer) ** 2
    return float(np.sqrt(0.08**2 + transfer + common))


def _paint(recipe: Recipe, pieces: float, settings: dict[str, Figure]) -> dict[str, Figure]:
    volume = recipe.paint * pieces
    sigma = paint_spread(recipe)
    capture = _f(
        recipe.capture,
        "fraction",
        "share of the passes that meets the shape, ends included",
        "double-beta",
    )
    kept = _f(
        recipe.transfer,
        "fraction",
        "gun's transfer at this distance and pressure",
        "transfer-trend",
        spread=(
            recipe.transfer - 1.28 * recipe.gun.transfer_spread,
            recipe.transfer + 1.28 * recipe.gun.transfer_spread,
        ),
    )
    trigger = _f(
        recipe.trigger_time * pieces,
        "time",
        "strokes x (length + 2 x overrun) / speed, summed over coats and faces",
        inputs={
            "speed": settings["speed"],
            "strokes": settings["strokes"],
            "overrun": settings["overrun"],
        },
    )
    return {
        "capture": capture,
        "transfer": kept,
        "trigger_time": trigger,
        "spray_minutes": _f(
            recipe.minutes * pieces, "time", "trigger time + turns", inputs={"trigger": trigger}
        ),
        "paint": _f(
            volume,
            "volume",
            "trigger time x fluid",
            inputs={"trigger": trigger, "fluid": settings["fluid"]},
            spread=(volume * (1 - 1.28 * sigma), volume * (1 + 1.28 * sigma)),
        ),
        "overspray": _f(
            volume * (1.0 - recipe.capture * recipe.transfer),
            "volume",
            "paint x (1 - capture x transfer)",
            inputs={"capture": capture, "transfer": kept},
        ),
    }


def _profile(recipe: Recipe) -> Profile:
    task, sample, setting = recipe.task, recipe.sample, recipe.sample.setting
    per = recipe.gain * task.paint.solids
    total = sample.laid(recipe.shares) * per * recipe.coats
    edges = np.concatenate([[0.0], np.cumsum(section_of(recipe.subject).breadths)])
    low, high = (sample.unfolded(np.quantile(total, p, axis=0)) for p in (0.1, 0.9))
    mean = sample.unfolded(total.mean(axis=0))
    wettest = np.quantile(sample.films, 1 - task.bounds.run_chance, axis=0)
    wet = sample.unfolded(wettest) * per * fullest(task, recipe.coats)
    marks: list[tuple[str, float, float]] = []
    start = 0.0
    for facet in recipe.subject.facets:
        if not marks or marks[-1][0] != facet.name:
            marks.append((facet.name, start, start + facet.breadth))
        else:
            marks[-1] = (facet.name, marks[-1][1], start + facet.breadth)
        start += facet.breadth
    plane = len(recipe.subject.facets) == 1
    centres = setting.layout.strokes[:, 0] + recipe.subject.breadth / 2 if plane else np.empty(0)
    return Profile(
        across=(edges[1:] + edges[:-1]) / 2,
        low=low,
        mean=mean,
        high=high,
        wanted_low=LIGHT * task.wanted.nominal,
        wanted_high=task.wanted.most,
        one_coat_wet=np.asarray(wet / task.paint.landed_solids, dtype=np.float64),
        run_limit=task.run_limit,
        facets=tuple(marks),
        strokes=centres,
    )


def _choices(recipe: Recipe, every: tuple[Recipe, ...], pieces: float) -> tuple[Choice, ...]:
    """The best recipe of each fan opening, number of coats and gun, with its price."""
    groups: dict[str, list[Recipe]] = {}
    for other in every:
        groups.setdefault(
            say("fan {opening}", opening=_fan_words(other.sample.setting.opening)), []
        ).append(other)
        groups.setdefault(_coats(other.coats), []).append(other)
        groups.setdefault(other.gun.title, []).append(other)
    rows = []
    for text, members in groups.items():
        best = least(tuple(members))
        rows.append(
            Choice(
                key=text.replace(" ", "-"),
                text=text,
                paint=_f(best.paint * pieces, "volume", "trigger time x fluid"),
                minutes=_f(best.minutes * pieces, "time", "trigger time + turns"),
                run_chance=_f(best.run_chance, "fraction", source="hand-sampling"),
                light_chance=_f(best.light_chance, "fraction", source="iso-19840"),
                chosen=best is recipe,
                why_not=best.shortfall,
            )
        )
    return tuple(rows)


def _coats(count: int) -> str:
    return say("{count} coats", count=count) if count > 1 else say("{count} coat", count=count)


def _fan_words(opening: float) -> str:
    words = {
        0: say("closed to a spot"),
        1: say("a quarter open"),
        2: say("half open"),
        3: say("three quarters open"),
        4: say("wide open"),
    }
    return words[round(opening * 4)]


def _advice(recipe: Recipe, every: tuple[Recipe, ...]) -> tuple[str, ...]:
    setting, task = recipe.sample.setting, recipe.task
    said: list[str] = [
        say(
            "Fan {opening}; spray {layout}.",
            opening=_fan_words(setting.opening),
            layout=setting.layout.text,
        )
    ]
    if len(set(recipe.shares)) > 1:
        coats = zip(recipe.coat_speeds, recipe.coat_flows, strict=True)
        paces = joined(
            "; ", (say("{v:.2f} m/s at {q:.0f} mL/min", v=v, q=q * 6e7) for v, q in coats)
        )
        said.append(
            say("First coat thin for grip, each fuller than the last: {paces}.", paces=paces)
        )
    if setting.away > recipe.gun.distance_max + 1e-6:
        said.append(
            say("The mouth keeps the gun farther off than it likes: expect a drier, dustier film.")
        )
    weak = _weak_spot(recipe)
    if weak:
        said.append(weak)
    wide = [r for r in every if r.sample.setting.opening > 0.99]
    if setting.opening < 0.99 and wide:
        best = least(tuple(wide))
        if best.paint > recipe.paint * 1.01:
            said.append(
                say(
                    "Fan wide open would take {paint:.0%} more paint here.",
                    paint=best.paint / recipe.paint - 1,
                )
            )
    if task.paint.limited:
        said.append(say("Thinner: {limited}.", limited=task.paint.limited))
    if not recipe.feasible:
        said.append(
            say(
                "No set-up keeps every bound; this comes nearest: {shortfall}.",
                shortfall=recipe.shortfall,
            )
        )
    return tuple(said)


def _weak_spot(recipe: Recipe) -> str:
    """Where on the section a light patch or a run would come first."""
    sample = recipe.sample
    steady = sample.films.mean(axis=0)
    edges = np.cumsum(section_of(recipe.subject).breadths)
    thin, thick = edges[int(np.argmin(steady))], edges[int(np.argmax(steady))]
    spread = float(steady.max() / max(steady.min(), 1e-12))
    if spread < 1.25:
        return ""
    return say(
        "Thinnest {thin:.0f} mm across the section and fullest at {thick:.0f} "
        "mm: {spread:.1f} times as much film there; a second pass at once over "
        "the full place starts a run.",
        thin=thin * 1000.0,
        thick=thick * 1000.0,
        spread=spread,
    )
