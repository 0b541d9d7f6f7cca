"""An invented outlook for the sample plan: air that falls and air that holds, windows, a day.

Nothing here was computed: the figures only have the size such figures have.
"""

from dataclasses import replace

import numpy as np

from coatwright.figures import Figure
from coatwright.planning.conditions.air_plan import (
    AirCard,
    AirChange,
    AirCoat,
    AirGun,
    AirHold,
    AirReceiver,
    AirSection,
    AirSpell,
    AirTrace,
    AirWater,
)
from coatwright.planning.conditions.window_plan import (
    Check,
    Go,
    Hour,
    Lapse,
    Vapour,
    Window,
    WindowMap,
)
from coatwright.planning.plan import Caution, Outlook, Plan
from sample_plan import INVENTED, ML, fig, film, sample_plan

BAR = 1e5
HOUR = 3600.0
START = "2026-05-04 06:00"
MASK = Caution("mask", "pressure", "air", "Let the hose empty before undoing it.", INVENTED)
MEAN = "The mean of a mixed room: near the floor it is higher."


def bar(value: float) -> Figure:
    """A gauge pressure."""
    return fig(value * BAR, "pressure")


def coat(number: int, lowest: float, needed: float = 1.5, wanted: float = 2.2) -> AirCoat:
    """Ten strokes of 3 s with turns of 1 s, falling evenly from `wanted` to `lowest` [bar]."""
    times = np.arange(0.0, 40.0, 0.5)
    falling = np.linspace(wanted, lowest, len(times)) * BAR
    pulled = np.where(times % 4.0 < 3.0, falling, np.nan)
    last = float(times[np.isfinite(pulled)][-1])
    return AirCoat(
        f"coat-{number}", fig(float(np.nanmin(pulled)), "pressure"), fig(last, "seconds"),
        bar((lowest + wanted) / 2), fig(40.0, "seconds"), fig(0, "count"), fig(0.4, "fraction"),
        AirTrace(times, falling + 3 * BAR, pulled, needed * BAR, wanted * BAR),
    )  # fmt: skip


CHANGE = AirChange("receiver", "receiver of 200 L instead of 50 L", fig(363, "seconds"),
                   fig(91, "seconds"), bar(2.1), bar(2.9), bar(1.2))  # fmt: skip


def hold(area: str, product: str, coats: tuple[AirCoat, ...], steady: bool) -> AirHold:
    """The air of one recipe."""
    sections = (
        AirSection("section-1", 1, 6, fig(0, "seconds"), fig(24, "seconds")),
        AirSection("section-2", 7, 10, fig(35, "seconds"), fig(16, "seconds")),
    )
    return AirHold(
        key=f"{area}-{product}", area=area, product=product, gun="primer-gun",
        gun_title="primer gun 1.8 mm", needed=bar(1.5), wanted=bar(2.2),
        air_used=fig(373 / 6e4, "air flow"), wall=bar(3.1), wall_released=bar(3.3),
        burst=bar(1.1), loss=bar(0.86), lowest=coats[-1].lowest, lowest_coat=coats[-1].key,
        holds=fig(272, "seconds", (206, 272)), lasts=fig(3600, "seconds"),
        rest=fig(52, "seconds"), coats=coats, sections=sections[: 1 if steady else 2],
        lightest=film(38), lightest_steady=film(44), lost=fig(0.0 if steady else 0.12, "fraction"),
        coarsest=fig(0.93, "fraction"), duty=fig(0.5, "fraction"), water=fig(0.3e-3, "mass"),
        changes=() if steady else (CHANGE,), enough=steady, steady=steady, cut_holds=True,
        summary="Holds: 2.2 bar throughout." if steady else "Falls to 1.3 bar at the last stroke.",
        advice=("Set 3.1 bar at the wall with the trigger pulled.",),
    )  # fmt: skip


HOLDS = (
    hold("engine-bay", "high-build", (coat(1, 2.2), coat(2, 2.2)), True),
    hold("boot-lid", "high-build", (coat(1, 1.8), coat(2, 1.3)), False),
)


def card() -> AirCard:
    """The air of the shop."""
    gun = AirGun(
        "primer-gun", "primer gun 1.8 mm", bar(2.0), bar(1.2), fig(379 / 6e4, "air flow"),
        bar(2.9), bar(3.2), bar(0.93), fig(272, "seconds"), fig(3600, "seconds"),
        fig(1175, "seconds"), fig(151, "seconds"), fig(108, "seconds"), (CHANGE,),
        "Most help: a receiver of 200 L.",
    )  # fmt: skip
    receivers = tuple(
        AirReceiver(f"{litres}-litres", fig(litres * 1e-3, "volume"), fig(1.8 * litres, "seconds"),
                    fig(3600, "seconds"), fig(7.8 * litres, "seconds"), fig(litres, "seconds"))
        for litres in (24, 150)
    )  # fmt: skip
    water = AirWater(
        fig(0.009, "concentration"), fig(94e-3, "mass"), fig(19e-3, "mass"), fig(2 * HOUR, "hours"),
        fig(292.0, "temperature"), fig(281.0, "temperature"), fig(0.49, "fraction"),
        ("Drain the trap every two hours that the pump runs.",),
    )  # fmt: skip
    return AirCard(fig(1.25, "fraction"), fig(0.2, "fraction"), fig(240 / 6e4, "air flow"), (gun,),
                   receivers, water, "The rule of 150 L is enough here.",
                   "The pump delivers 63 % of what the gun uses.", (MASK,))  # fmt: skip


SPELL = AirSpell(
    "high-build-spell", "high-build", fig(2280, "time"), fig(1140, "time"), bar(1.3), "Boot lid",
    fig(0.86, "fraction"), fig(1.0, "fraction"), fig(0.6, "fraction"), fig(1.15, "fraction"), True,
    fig(62e-3, "mass"), ("Boot lid",), "The pump gets too warm: pause between coats.",
)  # fmt: skip
LAPSE = Lapse("high-build", "key it and degrease, then go on", fig(0.4 * HOUR, "hours"),
              fig(60 * ML, "volume"), fig(20.47, "money"), fig(1800, "hours"))  # fmt: skip


def window(area: str, patch: str, hours: tuple[float, ...], **more: object) -> Window:
    """A window laid, opened, best and closed at those hours from the start."""
    when = [fig(h * HOUR, "hours") for h in hours]
    stamps = [f"2026-05-{4 + int(6 + h) // 24:02d} {int(6 + h) % 24:02d}:00" for h in hours]
    usual = {
        "key": f"{area}-{patch}-high-build-{hours[1]}", "area": area, "patch": patch,
        "product": "high-build", "title": "two-pack high-build primer 4:1", "laid": when[0],
        "opens": when[1], "best": when[2], "closes": when[3] if len(when) > 3 else None,
        "stamps": (*stamps, *[""] * (4 - len(stamps))), "past": "abrade", "why": "metal 17 degC",
        "lapse": LAPSE,
    }  # fmt: skip
    return Window(**(usual | more))  # type: ignore[arg-type]


WINDOWS = (
    window("boot-lid", "old", (0, 1, 4, 16)),
    window("engine-bay", "bare", (1, 8, 8, 6), shut=True),
    *(window("engine-bay", "bare", (n, n + 2, n + 10, n + 50)) for n in range(1, 14)),
    window("engine-bay", "bare", (2, 5, 7), final=True),
)


def go(verdict: str, margin: float) -> Go:
    """One product at one hour, its metal so far above the dew point [K]."""
    checks = (
        Check("dew-point", fig(margin, "temperature difference"),
              fig(3.0, "temperature difference"), margin >= 3.0, "too near the dew point"),
        Check("vapour", fig(0.13, "fraction"), fig(0.25, "fraction"), True, "too much vapour"),
    )  # fmt: skip
    vapour = Vapour(
        "high-build", fig(1e-3, "volume"), fig(0.13, "fraction"), fig(0.25, "fraction"),
        fig(13.9, "count"), fig(5760, "hours"), fig(37.4, "volume"), False, ("1-butanol",), (MEAN,),
    )  # fmt: skip
    reasons = {"go": (), "go if": ("2026-05-04 20:00: the metal falls to 11 degC",),
               "no go": ("the metal is only 1.9 K above the dew point",)}[verdict]  # fmt: skip
    return Go("high-build", "two-pack high-build primer 4:1", verdict, reasons, checks,
              fig(510, "time"), fig(13 * HOUR, "hours"), "standard", "slow", vapour)  # fmt: skip


VERDICTS = ("no go", "no go", "go", "go", "go if", "go if", "no go")


def hour(index: int, verdict: str) -> Hour:
    """One hour of the invented day."""
    margin = 1.9 + (0.0 if verdict == "no go" else 3.0)
    return Hour(
        f"2026-05-04T{6 + index:02d}:00", fig(index * HOUR, "hours"),
        f"2026-05-04 {6 + index:02d}:00", fig(290.0 + index, "temperature"),
        fig(288.0 + index, "temperature"), fig(289.0 + index, "temperature"),
        fig(0.6, "fraction"), fig(282.0, "temperature"),
        fig(margin + 1.0, "temperature difference"), (go(verdict, margin),),
    )  # fmt: skip


HOURS = tuple(hour(index, verdict) for index, verdict in enumerate(VERDICTS))


def sample_ahead(title: str = "Larkfield 1300, open tub (invented)") -> Plan:
    """The sample plan with this outlook."""
    notes = ("Engine bay: on this day it closes before it opens",)
    return replace(
        sample_plan(title),
        outlook=Outlook(HOLDS, card(), (SPELL,), WindowMap(WINDOWS, START, notes), HOURS, START),
    )
