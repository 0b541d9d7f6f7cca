"""An invented job as it might have been painted: events that follow its plan, for the papers."""

from collections.abc import Sequence
from datetime import UTC, datetime, timedelta

from coatwright.actions.planned import planned_coat
from coatwright.actions.workshop import Bench
from coatwright.planning.plan import AreaPlan, LayerPlan, Plan
from coatwright.record import events
from coatwright.record.events import Event

START = datetime(2031, 5, 5, 8, 0, tzinfo=UTC)
MORE = 1.06
"""More film than planned, as the gauge will find."""


class Painter:
    """Paints area after area by the plan; every act is an event a few minutes after the last."""

    def __init__(self, bench: Bench, plan: Plan, job: str) -> None:
        self.bench, self.plan, self.job = bench, plan, job
        self.now = START
        self.told: list[Event] = []

    def say(
        self,
        body: events.Happened,
        area: str = "",
        patch: str = "",
        evidence: Sequence[str] = (),
        who: str = "the painter",
        minutes: float = 4,
    ) -> Event:
        """One event."""
        self.now += timedelta(minutes=minutes)
        made = Event(
            id=f"event-{len(self.told):06d}", job=self.job, at=self.now, who=who, body=body,
            area=area, patch=patch, evidence=tuple(evidence),
        )  # fmt: skip
        self.told.append(made)
        return made

    def paint(self, area: AreaPlan, layers: int | None = None) -> None:
        """Lay the layers of an area on each of its patches."""
        for patch in area.patches:
            self.say(events.Degreased(product="panel wipe"), area.key, patch.key)
            for number, layer in enumerate(patch.layers[:layers]):
                self._mix(layer, f"{area.key}-{patch.key}-{number + 1}")
                self._coats(layer, area.key, patch.key, f"{area.key}-{patch.key}-{number + 1}")
                self._rub(layer, area.key, patch.key)
                self.now += timedelta(seconds=layer.recoat_from.value)
            self._read(area.key, patch.key, patch.layers[:layers])

    def _mix(self, layer: LayerPlan, name: str) -> None:
        sheet = self.bench.library[layer.product]
        parts = {one.key: 0.05 * one.parts * one.density / 1000 for one in sheet.components}
        self.say(
            events.Mixed(
                mix=name, product=layer.product, parts=parts, wanted=parts,
                lots={key: f"{key[:1].upper()}-{4100 + index}" for index, key in enumerate(parts)},
                expiry=dict.fromkeys(parts, "2032-03-31"), cup_seconds=18.0, cup="DIN 4",
                temperature=293.15, pot_life=7200.0, density=1300.0,
            )
        )  # fmt: skip

    def _coats(self, layer: LayerPlan, area: str, patch: str, mix: str) -> None:
        self.say(events.ClimateRead(air=293.65, metal=292.85, humidity=0.52), area, patch)
        for coat in range(1, round(layer.coats.value) + 1):
            said = planned_coat(self.bench, self.plan, area, layer.product, patch)
            gun = self.plan.recipes[layer.recipe].gun if layer.recipe else ""
            self.say(
                events.CoatBegun(product=layer.product, coat=coat, mix=mix, gun=gun, planned=said),
                area, patch,
            )  # fmt: skip
            self.say(events.CoatDone(product=layer.product, coat=coat), area, patch, minutes=3)
            if said.paint and said.density:
                used = MORE * said.paint * said.density
                self.say(
                    events.CupWeighed(
                        product=layer.product, coat=coat, before=0.6 + used, after=0.6
                    ),
                    area, patch, minutes=1,
                )  # fmt: skip

    def _rub(self, layer: LayerPlan, area: str, patch: str) -> None:
        for rub in layer.rubs:
            body = events.RubbedDown(
                grade=rub.grade, product=layer.product, took=rub.takes.value, guide_coat=True
            )
            self.say(body, area, patch, minutes=30)

    def _read(self, area: str, patch: str, layers: Sequence[LayerPlan]) -> None:
        film = sum(one.laid.value - sum(r.takes.value for r in one.rubs) for one in layers)
        if film <= 0:
            return
        readings = [film * MORE * share for share in (0.97, 1.04, 1.0, 0.95, 1.02, 1.05, 0.99)]
        body = events.FilmRead(method="gauge", product=layers[-1].product, readings=readings)
        self.say(body, area, patch, minutes=600)


def painted(bench: Bench, plan: Plan, job: str, areas: Sequence[str]) -> list[Event]:
    """Those areas painted in full, with a little of all else that happens in a shop."""
    painter = Painter(bench, plan, job)
    painter.say(events.Arrived(condition="a bare board, <b>dusty</b> #[not markup]"))
    for area in plan.areas:
        if area.key in areas:
            painter.paint(area)
    _rest(painter, areas[0])
    return painter.told


def _rest(painter: Painter, area: str) -> None:
    product = painter.told[-1].body.product or ""
    broke = events.BrokeThrough(ground="metal", surface=4e-4)
    painter.say(broke, area)
    seen = painter.say(
        events.DefectSeen(defect="runs", product=product, surface=2e-4, note="low edge"), area
    )
    painter.say(events.Repaired(defect=seen.id, how="let down, flatted with P1500, polished"), area)
    proposed = events.ExtraProposed(
        extra="lip", title="new lip on the edge", reason="rust came through the old one",
        price_low=90.0, price=120.0, price_high=160.0, hours=7200.0, days=1.0,
    )  # fmt: skip
    painter.say(proposed, area)
    painter.say(events.Approved(extra="lip", by="the owner", how="by telephone"), who="the owner")
    painter.say(events.Note(text="the learner sprayed the back"))
