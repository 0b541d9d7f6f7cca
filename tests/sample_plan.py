"""A synthetic Plan for the tests of what a person sees. Every figure in it is invented.

Nothing here was computed: the figures only have the size such figures have. Two areas, three
patches, three recipes: enough for every kind of picture, table and sentence a face must print.
"""

from collections.abc import Mapping

import numpy as np

from coatwright.figures import Basis, Figure
from coatwright.planning.plan import (
    AreaPlan,
    Batch,
    Caution,
    Choice,
    Cost,
    CostLine,
    Finding,
    LayerPlan,
    PatchPlan,
    Plan,
    Pour,
    ProductNeed,
    Profile,
    Purchase,
    Route,
    Rub,
    SectionBand,
    StageBill,
    Step,
    StrokeRecipe,
    Swing,
)

UM = 1e-6
ML = 1e-6
INVENTED = "common practice, no source"


def fig(
    value: float,
    purpose: str,
    spread: tuple[float, float] | None = None,
    basis: Basis = "formula",
    inputs: Mapping[str, Figure | str] | None = None,
) -> Figure:
    """One invented figure."""
    return Figure(
        value,
        purpose,
        basis,
        INVENTED,
        "invented for the tests",
        inputs or {},
        spread,
        "10 and 90 % points" if spread else "",
    )


def film(um: float, low: float = 0.0, high: float = 0.0) -> Figure:
    """A film in micrometres."""
    return fig(um * UM, "film", (low * UM, high * UM) if high else None)


NOTE = Finding(
    rule="etch-thin",
    title="Etch need not hide the metal",
    severity="note",
    verdict="yes",
    layer="etch",
    reason="It works by biting the metal, so a thin see-through coat is enough.",
    failure="",
    remedy="",
    needs=(),
    experts_differ=False,
    source=INVENTED,
)
DIFFER = Finding(
    rule="epoxy-over-etch",
    title="Epoxy over acid etch",
    severity="ruin",
    verdict="no",
    layer="epoxy",
    reason="Acid left in the etch can block the cure of the epoxy.",
    failure="It peels to the metal, often months later.",
    remedy="Leave out the etch: epoxy on clean, abraded steel needs none.",
    needs=(),
    experts_differ=True,
    source=INVENTED,
)
UNKNOWN = Finding(
    rule="unknown-old-paint",
    title="Two-pack over paint of unknown history",
    severity="fault",
    verdict="yes if",
    layer="high-build",
    reason="Nobody knows whether the solvent of the primer softens the old paint.",
    failure="The old paint swells and lifts; the edges of repairs map through.",
    remedy="Rub a hidden spot with thinner, and spray a test patch; if it softens, strip it.",
    needs=("test patch", "keyed"),
    experts_differ=False,
    source=INVENTED,
)


def layer(
    key: str, title: str, family: str, um: float, recipe: str = "", **more: object
) -> LayerPlan:
    """One layer with invented times."""
    usual: dict[str, object] = {
        "key": key,
        "product": key,
        "title": title,
        "family": family,
        "coats": fig(2, "count"),
        "wanted": film(um),
        "laid": film(um * 1.2, um, um * 1.5),
        "flash": fig(600, "time", basis="sheet"),
        "recoat_from": fig(1800, "time", basis="sheet"),
        "recoat_until": fig(86400 * 3, "days", basis="sheet"),
        "past_window": "abrade with P320 and recoat",
        "recipe": recipe,
        "rubs": (),
        "findings": (),
    }
    return LayerPlan(**(usual | more))  # type: ignore[arg-type]


RUBS = (
    Rub(
        "P320",
        "P320",
        film(28, 20, 36),
        film(102, 80, 126),
        fig(0.004, "fraction"),
        "takes the texture of the sprayed coat flat",
    ),
    Rub(
        "P500",
        "P500",
        film(8, 5, 11),
        film(94, 72, 118),
        fig(0.011, "fraction"),
        "takes out the scratch of P320 so that colour does not show it",
    ),
)


def profile(wanted: float, breadth: float, walls: bool = False) -> Profile:
    """A film that ripples with the strokes and thins towards the edges, in micrometres."""
    across = np.linspace(0.0, breadth, 241)
    edge = 1.0 - 0.45 * np.exp(-across / 0.03) - 0.45 * np.exp(-(breadth - across) / 0.03)
    ripple = 1.0 + 0.05 * np.cos(2 * np.pi * across / 0.07)
    mean = wanted * 1.15 * UM * edge * ripple
    facets: tuple[tuple[str, float, float], ...] = (("face", 0.0, breadth),)
    if walls:
        third = breadth / 4
        facets = (
            ("left wall", 0.0, third),
            ("base", third, 3 * third),
            ("right wall", 3 * third, breadth),
        )
        mean = mean * np.where((across < third) | (across > 3 * third), 0.7, 1.1)
    return Profile(
        across=across,
        low=mean * 0.78,
        mean=mean,
        high=mean * 1.24,
        wanted_low=wanted * 0.85 * UM,
        wanted_high=wanted * 1.6 * UM,
        one_coat_wet=mean * 1.1,
        run_limit=170 * UM,
        facets=facets,
        strokes=np.arange(0.0, breadth + 0.02, 0.07),
    )


def choice(key: str, text: str, ml: float, minutes: float, run: float, **more: object) -> Choice:
    """One alternative."""
    return Choice(
        key,
        text,
        fig(ml * ML, "dose", (ml * 0.85 * ML, ml * 1.2 * ML)),
        fig(minutes * 60, "time"),
        fig(run, "fraction"),
        fig(0.02, "fraction"),
        chosen=bool(more.get("chosen")),
        why_not=str(more.get("why_not", "")),
    )


CHOICES = (
    choice("fan", "fan half closed, 3 coats", 310, 9.5, 0.006, chosen=True),
    choice("wide", "fan wide open, 3 coats", 520, 7.8, 0.004, why_not="two thirds of the fan miss"),
    choice("spot", "spot, 4 coats", 290, 21, 0.012, why_not="twice the minutes for 6 % less paint"),
    choice("full", "full fluid, 2 coats", 330, 6.2, 0.19, why_not="runs: above the bound of 2 %"),
)


def recipe(key: str, area: str, product: str, **more: object) -> StrokeRecipe:
    """One stroke recipe with invented figures."""
    usual: dict[str, object] = {
        "key": key,
        "area": area,
        "product": product,
        "gun": "primer-gun",
        "gun_title": "primer gun 1.8 mm",
        "hand": "the painter",
        "spray_in": "open",
        "direction": "along",
        "nozzle": fig(1.8e-3, "length", basis="entered"),
        "pressure": fig(2.0e5, "pressure", basis="sheet"),
        "fan": fig(0.5, "fraction"),
        "fan_length": fig(0.14, "length"),
        "fluid": fig(180 * ML / 60, "flow", (165e-6 / 60, 196e-6 / 60)),
        "fluid_share": fig(0.75, "fraction"),
        "distance": fig(0.15, "length"),
        "speed": fig(0.42, "speed"),
        "pace": fig(2.4, "seconds"),
        "pitch": fig(0.07, "length"),
        "overlap": fig(0.5, "fraction"),
        "strokes": fig(9, "count"),
        "overrun": fig(0.1, "length"),
        "coats": fig(3, "count"),
        "wet_coat": film(92, 74, 112),
        "dry_coat": film(43, 34, 53),
        "dry_total": film(130, 108, 155),
        "thinnest": film(96, 80, 111),
        "run_limit": film(170, 140, 200),
        "run_chance": fig(0.006, "fraction"),
        "light_chance": fig(0.021, "fraction"),
        "capture": fig(0.71, "fraction"),
        "transfer": fig(0.58, "fraction", (0.5, 0.66), "assumed"),
        "overspray": fig(182 * ML, "dose", (150 * ML, 230 * ML)),
        "trigger_time": fig(103, "seconds"),
        "spray_minutes": fig(570, "time"),
        "paint": fig(310 * ML, "dose", (264 * ML, 372 * ML)),
        "droplets": fig(1.04, "fraction", basis="assumed"),
        "profile": profile(110, 0.64),
        "choices": CHOICES,
        "advice": (
            "Close the fan to half: the strip is narrower than the fan.",
            "Begin each stroke 100 mm before the edge and end it 100 mm past it.",
        ),
        "within_bounds": True,
        "shortfall": "",
    }
    return StrokeRecipe(**(usual | more))  # type: ignore[arg-type]


def route(key: str, title: str, products: tuple[str, ...], **more: object) -> Route:
    """One possible system."""
    usual: dict[str, object] = {
        "key": key,
        "title": title,
        "products": products,
        "possible": True,
        "film": film(180, 150, 215),
        "days": fig(86400 * 3, "days"),
        "money": fig(64.0, "money", (55.0, 78.0)),
        "steps": (
            Step(
                "degrease",
                "Degrease twice: wipe on, wipe off with a second cloth.",
                fig(1800, "hours"),
                fig(3.2, "money"),
            ),
        ),
        "findings": (),
        "summary": "Keeps water out while the body waits.",
    }
    return Route(**(usual | more))  # type: ignore[arg-type]


EPOXY = route("epoxy", "epoxy, high-build, colour", ("epoxy", "high-build", "solid"))
ETCH = route(
    "etch",
    "etch, high-build, colour",
    ("etch", "high-build", "solid"),
    film=film(160, 130, 190),
    money=fig(58.0, "money", (50.0, 70.0)),
    findings=(NOTE,),
    days=fig(86400 * 2, "days"),
    summary="Thinner and cheaper, but the metal may not wait: high-build the same day.",
)
BOTH = route(
    "both",
    "etch, epoxy, colour",
    ("etch", "epoxy", "solid"),
    possible=False,
    findings=(DIFFER,),
    summary="Ruled out: acid under epoxy.",
)


def bands(*rows: tuple[str, str, str, float, float]) -> tuple[SectionBand, ...]:
    """Section bands from (key, title, family, laid, rubbed); 'old' in a key marks an old layer."""
    return tuple(
        SectionBand(
            key,
            title,
            family,
            film(laid, laid * 0.8, laid * 1.2),
            film(rubbed, rubbed * 0.7, rubbed * 1.3),
            old="old" in key,
        )
        for key, title, family, laid, rubbed in rows
    )


STEEL_SECTION = bands(
    ("etch", "acid etch primer", "etch primer", 8, 0),
    ("high-build", "two-pack high-build primer 4:1", "two-pack high-build primer", 130, 36),
    ("sealer", "sealer, wet-on-wet", "sealer", 20, 0),
    ("solid", "two-pack solid colour 2:1", "two-pack solid colour", 55, 6),
)
OLD_SECTION = bands(
    ("old-unknown", "old paint, history unknown", "unknown paint", 140, 30),
    ("epoxy", "epoxy primer 2:1", "epoxy primer", 55, 0),
    ("high-build", "two-pack high-build primer 4:1", "two-pack high-build primer", 120, 40),
    ("solid", "two-pack solid colour 2:1", "two-pack solid colour", 55, 0),
)


def _steel() -> PatchPlan:
    return PatchPlan(
        "bare",
        "bare steel",
        fig(0.8, "fraction", basis="entered"),
        fig(2.1, "area"),
        True,
        "bare metal, abraded and degreased",
        "rules",
        EPOXY,
        (ETCH, BOTH),
        (
            layer(
                "etch",
                "acid etch primer",
                "etch primer",
                8,
                findings=(NOTE,),
                coats=fig(1, "count"),
                recoat_until=fig(86400, "hours"),
                past_window="abrade and etch again, thin",
            ),
            layer(
                "high-build",
                "two-pack high-build primer 4:1",
                "two-pack high-build primer",
                110,
                "engine-bay/high-build",
                rubs=RUBS,
                coats=fig(3, "count"),
            ),
            layer(
                "solid",
                "two-pack solid colour 2:1",
                "two-pack solid colour",
                50,
                "engine-bay/solid",
                recoat_until=None,
                past_window="no limit",
            ),
        ),
        STEEL_SECTION,
        film(171, 140, 205),
    )


def _bay() -> AreaPlan:
    filler = PatchPlan(
        "filler",
        "polyester filler",
        fig(0.2, "fraction", basis="entered"),
        fig(0.5, "area"),
        True,
        "our own filler",
        "person",
        ETCH,
        (),
        (),
        STEEL_SECTION[1:],
        film(163, 130, 200),
    )
    return AreaPlan(
        "engine-bay",
        "Engine bay",
        "channel",
        "vertical",
        "recess, 0.35 m wide, 0.2 m deep",
        fig(2.6, "area"),
        fig(1.9, "run"),
        fig(0.64, "length"),
        (_steel(), filler),
        "The bulkhead shelf is reached from above.",
    )


def _lid() -> AreaPlan:
    old = PatchPlan(
        "old",
        "bare steel",
        fig(1.0, "fraction", basis="entered"),
        fig(1.1, "area"),
        False,
        "The history of the paint is not known.",
        "person",
        EPOXY,
        (ETCH,),
        (
            layer(
                "high-build",
                "two-pack high-build primer 4:1",
                "two-pack high-build primer",
                110,
                "boot-lid/high-build",
                findings=(UNKNOWN, DIFFER),
                rubs=RUBS,
            ),
        ),
        OLD_SECTION,
        film(300, 240, 360),
    )
    return AreaPlan(
        "boot-lid",
        "Boot lid, outside",
        "curved panel",
        "floor",
        "open",
        fig(1.1, "area"),
        fig(1.05, "run"),
        fig(1.02, "length"),
        (old,),
    )


def _batch(key: str, product: str, ml: float, serves: tuple[str, ...]) -> Batch:
    base, hard, thin = ml * 0.72, ml * 0.18, ml * 0.10
    pours = (
        Pour(
            "base",
            "base",
            fig(base * ML, "dose"),
            fig(base * 1.4e-3, "mass"),
            fig(base * 1.4e-3, "mass"),
        ),
        Pour(
            "hardener",
            "hardener",
            fig(hard * ML, "dose"),
            fig(hard * 1e-3, "mass"),
            fig(base * 1.4e-3 + hard * 1e-3, "mass"),
        ),
        Pour(
            "thinner",
            "thinner",
            fig(thin * ML, "dose"),
            fig(thin * 0.87e-3, "mass"),
            fig(base * 1.4e-3 + hard * 1e-3 + thin * 0.87e-3, "mass"),
        ),
    )
    return Batch(
        key,
        product,
        key,
        fig(ml * ML, "dose"),
        pours,
        serves,
        fig(2400, "time", basis="sheet"),
        fig(1500, "time"),
        fig(18 * ML, "dose"),
        fig(0, "time", basis="sheet"),
        "first session",
    )


def need(key: str, title: str, ml: float, batches: tuple[Batch, ...]) -> ProductNeed:
    """How much of one product, invented."""
    return ProductNeed(
        key,
        title,
        fig(ml * ML, "volume", (ml * 0.86 * ML, ml * 1.2 * ML)),
        fig(ml * 0.4 * ML, "volume"),
        fig(ml * 0.42 * ML, "volume"),
        fig(60 * ML, "dose", basis="assumed"),
        fig(25 * ML, "dose"),
        fig(ml * 0.1 * ML, "dose"),
        fig(0.1, "fraction"),
        fig(24, "seconds"),
        "DIN 4",
        fig(505.0, "concentration"),
        fig(540.0, "concentration", basis="sheet"),
        "within the EU limit of its category",
        {"engine-bay": fig(ml * 0.7 * ML, "volume"), "boot-lid": fig(ml * 0.3 * ML, "volume")},
        batches,
    )


CAUTIONS = (
    Caution(
        "isocyanate",
        "isocyanate",
        "spraying",
        "The hardener of two-pack paint holds isocyanates, which cause asthma; a filter mask is not"
        " accepted for spraying it. Air-fed equipment, and what the product's sheet and local rules"
        " demand, come first.",
        INVENTED,
    ),
    Caution(
        "fire",
        "fire",
        "mixing",
        "Solvent vapour burns: no flame or spark near; earth the tins.",
        INVENTED,
    ),
    Caution(
        "dust",
        "dust",
        "rubbing",
        "Sanding dust harms lungs, and old paint may hold lead: no dry"
        " sanding of old paint before it is tested.",
        INVENTED,
    ),
    Caution(
        "stripper",
        "acid and solvent",
        "stripping",
        "Wear what the stripper's own sheet asks for.",
        INVENTED,
    ),
    Caution(
        "pressure", "pressure", "air", "Never exceed the gun's rated inlet pressure.", INVENTED
    ),
    Caution(
        "store",
        "waste",
        "storing",
        "Hardener left over is hazardous waste; never the drain.",
        INVENTED,
    ),
)


def _recipes() -> dict[str, StrokeRecipe]:
    made = (
        recipe(
            "engine-bay/high-build",
            "engine-bay",
            "high-build",
            profile=profile(110, 0.64, walls=True),
        ),
        recipe("engine-bay/solid", "engine-bay", "solid", profile=profile(50, 0.64)),
        recipe(
            "boot-lid/high-build",
            "boot-lid",
            "high-build",
            within_bounds=False,
            shortfall="Runs: 3.1 % of a coat may run, the bound is 2 %.",
            run_chance=fig(0.031, "fraction"),
        ),
    )
    return {item.key: item for item in made}


def _needs() -> tuple[ProductNeed, ...]:
    both = ("engine-bay", "boot-lid")
    mixes = (
        _batch("high-build mix 1", "high-build", 810, ("engine-bay",)),
        _batch("high-build mix 2", "high-build", 810, both),
    )
    colour = (_batch("solid mix 1", "solid", 700, ("engine-bay",)),)
    return (
        need("high-build", "two-pack high-build primer 4:1", 1620, mixes),
        need("solid", "two-pack solid colour 2:1", 700, colour),
    )


PURCHASE = Purchase(
    "high-build",
    "two-pack high-build primer 4:1",
    fig(1.6e-3, "volume"),
    {"1 L": 2, "3 L": 0},
    fig(2.0e-3, "volume"),
    fig(0.4e-3, "volume"),
    fig(2 * 365.25 * 86400, "days", basis="sheet"),
    fig(96.0, "money", basis="sheet"),
)
COST = Cost(
    "GBP",
    (
        CostLine("paint", "paint and thinner", fig(312.0, "money", (280.0, 366.0))),
        CostLine("labour", "hours in the shop", fig(940.0, "money", (760.0, 1300.0))),
    ),
    fig(1266.0, "money", (1060.0, 1690.0)),
    fig(253.0, "money", (212.0, 338.0)),
    fig(1519.0, "money", (1272.0, 2028.0)),
    ("The transfer efficiency of the gun moves the paint by a fifth.",),
    fig(1580.0, "money"),
    ((0.1, 1272.0), (0.5, 1580.0), (0.9, 2028.0)),
    (Swing("labour", "hours in the shop", fig(0.9, "fraction"), fig(1128.0, "money")),),
    fig(391.0, "money"),
    (StageBill("primed", "in primer", fig(36000.0, "hours"), fig(1128.0, "money")),),
)


def sample_plan(title: str = "Larkfield 1300, open tub (invented)") -> Plan:
    """The whole invented plan."""
    return Plan(
        title,
        True,
        "GBP",
        "the painter",
        "dark green, solid",
        fig(3.7, "area"),
        (_bay(), _lid()),
        _recipes(),
        _needs(),
        (PURCHASE,),
        (CostLine("paper", "masking paper, 900 mm", fig(14.0, "money", basis="entered")),),
        COST,
        CAUTIONS,
        ("The primer gun's fan was assumed for its class: spray a test card.",),
    )
