"""A day plan held against the plan it belongs to, the product sheets and the shop's hours.

Written from what they promise a painter and nothing else: not from the timetable's problem, nor
from how the day is made. Times [s] from the first midnight.
"""

from collections.abc import Iterator, Mapping
from dataclasses import dataclass
from itertools import combinations, pairwise

from coatwright.model.job import Job
from coatwright.model.material import Material
from coatwright.planning.day.plan import DayMix, DayPlan, DayWindow, Entry
from coatwright.planning.plan import PatchPlan, Plan

SLACK = 1.0
"""What rounding may take [s]; the day is planned to the minute."""
KEYS = {"abrade new", "block"}
"""Acts after which a layer holds by its key (common practice, no source)."""
BARES = {"strip", "strip thin", "remove rust", "abrade bare"}
"""Acts that leave bare ground."""
DUSTY = KEYS | BARES | {"abrade old"}
"""Acts that raise dust."""
METALS = {"bare steel", "galvanised steel", "aluminium"}
SPRAYED = ("gun", "schutz gun")


@dataclass(frozen=True)
class Case:
    """A plan with its day, and what it was made from."""

    plan: Plan
    day: DayPlan
    job: Job
    sheets: Mapping[str, Material]

    def coats(self, area: str, product: str) -> list[Entry]:
        """Coats of a product on an area, in order of coat."""
        found = [
            e for e in self.day.entries if (e.act, e.area, e.product) == ("coat", area, product)
        ]
        return sorted(found, key=lambda entry: entry.coat)

    def patches(self) -> Iterator[tuple[str, PatchPlan]]:
        for area in self.plan.areas:
            for patch in area.patches:
                yield area.key, patch

    def acts(self, area: str, names: set[str]) -> list[Entry]:
        return [e for e in self.day.entries if e.area == area and e.act in names]


def faults(case: Case) -> list[str]:
    """Everything in the day that a painter could not do, or that spoils the paint."""
    return [fault for check in CHECKS for fault in check(case)]


def told(seconds: float) -> str:
    day, rest = divmod(round(seconds), 86400)
    return f"day {day + 1} {rest // 3600:02d}:{rest % 3600 // 60:02d}"


def stretches(entry: Entry) -> list[tuple[float, float]]:
    """When somebody is at it."""
    parts = [(part.start.value, part.end.value) for part in entry.parts]
    return parts or [(entry.start.value, entry.end.value)]


# What is to be done is done


def every_coat(case: Case) -> Iterator[str]:
    """Each area gets the coats its layers ask for, no more and no fewer."""
    for area in case.plan.areas:
        layers = [layer for patch in area.patches for layer in patch.layers]
        for product in {layer.product for layer in layers}:
            wanted = max(round(x.coats.value) for x in layers if x.product == product)
            found = [entry.coat for entry in case.coats(area.key, product)]
            if found != list(range(1, wanted + 1)):
                yield f"{area.key} gets coats {found} of {product}, not {wanted}"


def work_takes_its_time(case: Case) -> Iterator[str]:
    for entry in case.day.entries:
        spent = sum(end - start for start, end in stretches(entry))
        if entry.people and abs(spent - entry.work.value) > SLACK and entry.kind != "rest":
            yield f"{entry.key} is given {spent / 60:.0f} min, takes {entry.work.value / 60:.0f}"
        if entry.kind == "spray" and len(stretches(entry)) > 1:
            yield f"{entry.key} is broken off"


# Paint


def flash_is_kept(case: Case) -> Iterator[str]:
    """Between two coats of a product at least what the sheet asks."""
    for area in case.plan.areas:
        for product in {x.product for patch in area.patches for x in patch.layers}:
            least = case.sheets[product].flash.min
            for one, other in pairwise(case.coats(area.key, product)):
                gap = other.start.value - one.end.value
                if gap < least - SLACK:
                    yield (
                        f"{other.key} at {told(other.start.value)} comes {gap / 60:.0f} min after "
                        f"coat {one.coat}; the sheet says {least / 60:.0f}"
                    )


def layers_are_in_order(case: Case) -> Iterator[str]:
    """On every patch each layer over the one below, inside its recoat window or on its key."""
    for area, patch in case.patches():
        for below, above in pairwise(patch.layers):
            laid = case.coats(area, below.product)
            over = case.coats(area, above.product)
            if laid and over:
                yield from _in_window(case, area, laid[-1], over[0])


def _in_window(case: Case, area: str, laid: Entry, over: Entry) -> Iterator[str]:
    recoat = case.sheets[laid.product].recoat
    gap = over.start.value - laid.end.value
    where = f"{over.product} on {area} at {told(over.start.value)}"
    if gap < recoat.min - SLACK:
        yield f"{where} comes {gap / 3600:.1f} h after {laid.product}, too soon"
    if recoat.max is not None and gap > recoat.max + SLACK:
        keyed = [e for e in case.acts(area, KEYS) if laid.end.value <= e.start.value]
        if not any(e.end.value <= over.start.value for e in keyed):
            yield f"{where} comes {gap / 3600:.1f} h after {laid.product}, too late and not keyed"


def windows_are_told_true(case: Case) -> Iterator[str]:
    """The windows drawn are those of the coats laid, within the sheet, and kept if they say so."""
    for window in case.day.windows:
        coats = case.coats(window.area, window.product)
        if not coats or abs(coats[-1].end.value - window.laid.value) > SLACK:
            yield f"{window.key} says its layer is laid at {told(window.laid.value)}"
            continue
        yield from _span_of_sheet(case, window)
        if window.used is not None and window.kept:
            yield from _kept(case, window, window.used.value)


def _span_of_sheet(case: Case, window: DayWindow) -> Iterator[str]:
    recoat = case.sheets[window.product].recoat
    opens = window.opens.value - window.laid.value
    if opens < recoat.min - SLACK:
        yield f"{window.key} opens after {opens / 60:.0f} min, the sheet says {recoat.min / 60:.0f}"
    if window.closes is not None and recoat.max is not None:
        closes = window.closes.value - window.laid.value
        if closes > recoat.max + SLACK:
            yield f"{window.key} closes after {closes / 3600:.1f} h, later than the sheet"


def _kept(case: Case, window: DayWindow, used: float) -> Iterator[str]:
    if used < window.opens.value - SLACK:
        yield f"{window.key} is used at {told(used)}, before it opens"
    if window.closes is not None and used > window.closes.value + SLACK:
        keyed = case.acts(window.area, KEYS)
        if not any(window.laid.value <= e.start.value and e.end.value <= used for e in keyed):
            yield f"{window.key} is used at {told(used)}, after it closes"


def bare_metal_is_covered(case: Case) -> Iterator[str]:
    """Metal that was bared gets its first coat the same day (common practice, no source)."""
    for area, patch in case.patches():
        bared = [e for e in case.acts(area, BARES) if e.patch == patch.key]
        if patch.ground in METALS and bared and patch.layers:
            first = case.coats(area, patch.layers[0].product)[0]
            if max(entry.day for entry in bared) != first.day:
                yield f"{area}, {patch.key}: bared on day {bared[-1].day}, coated on {first.day}"


def nothing_dusty_beside_wet_paint(case: Case) -> Iterator[str]:
    dusty = [entry for entry in case.day.entries if entry.act in DUSTY]
    sprays = [entry for entry in case.day.entries if entry.kind == "spray"]
    for rub in dusty:
        for coat in sprays:
            wet = coat.end.value + case.sheets[coat.product].flash.min - SLACK
            for start, end in stretches(rub):
                if max(start, coat.start.value) < min(end, wet):
                    yield f"{rub.key} raises dust at {told(start)} beside {coat.key}, still wet"


# Mixes


def mixes_are_fresh(case: Case) -> Iterator[str]:
    """Every coat of a mixed paint from one pot that has stood and has not gone off."""
    mixes = {mix.key: mix for mix in case.day.mixes}
    for entry in case.day.entries:
        if entry.act != "coat":
            continue
        sheet = case.sheets[entry.product]
        mix = mixes.get(entry.mix)
        if mix is None:
            if sheet.pot_life is not None:
                yield f"{entry.key} is sprayed from no mix"
            continue
        if mix.product != entry.product or entry.key not in mix.serves:
            yield f"{entry.key} takes {mix.key}, which is not for it"
        yield from _fresh(entry, mix, sheet)


def _fresh(entry: Entry, mix: DayMix, sheet: Material) -> Iterator[str]:
    if entry.start.value < max(mix.ready.value, mix.end.value + sheet.induction) - SLACK:
        yield f"{entry.key} at {told(entry.start.value)} is sprayed before {mix.key} is ready"
    if mix.gone is not None and entry.end.value > mix.gone.value + SLACK:
        yield f"{entry.key} until {told(entry.end.value)}: {mix.key} has gone off"
    if (mix.gone is None) != (sheet.pot_life is None):
        yield f"{mix.key} and its sheet disagree on whether it goes off"
    elif mix.gone is not None and mix.pot_life is not None:
        lives_until = mix.start.value + mix.pot_life.value
        if mix.gone.value > lives_until + SLACK:
            yield f"{mix.key} is kept beyond its pot life"


def mixes_serve_once(case: Case) -> Iterator[str]:
    served = [key for mix in case.day.mixes for key in mix.serves]
    known = {entry.key: entry for entry in case.day.entries}
    for key in sorted(set(served)):
        if served.count(key) > 1:
            yield f"{key} is served {served.count(key)} times"
        if key not in known:
            yield f"a mix serves {key}, which is not in the day"
    for mix in case.day.mixes:
        if mix.volume.value > case.job.workshop.mixing_cup + 1e-9 and len(mix.serves) > 1:
            yield f"{mix.key} is {mix.volume.value * 1e3:.2f} L, more than the cup holds"


# People, tools, hours


def one_place_at_a_time(case: Case) -> Iterator[str]:
    known = {hand.key for hand in case.job.hands} | {h.key for h in case.job.workshop.helpers}
    busy: dict[str, list[tuple[float, float, str]]] = {}
    for entry in case.day.entries:
        for name in entry.people:
            busy.setdefault(name, []).extend((a, b, entry.key) for a, b in stretches(entry))
        if entry.kind in ("work", "spray") and not entry.people:
            yield f"nobody does {entry.key}"
    for name, spans in busy.items():
        if name not in known:
            yield f"nobody knows {name}"
        for one, other in pairwise(sorted(spans)):
            if other[0] < one[1] - SLACK:
                yield f"{name} is at {one[2]} and {other[2]} at {told(other[0])}"


def in_hours(case: Case) -> Iterator[str]:
    """All work between opening and closing, and none in a rest."""
    hours = case.job.workshop.hours
    opens, closes = _seconds(hours.opens), _seconds(hours.closes)
    rests = [(_seconds(b.at), _seconds(b.at) + b.length) for b in hours.breaks]
    for entry in case.day.entries:
        if entry.kind not in ("work", "spray"):
            continue
        for start, end in stretches(entry):
            low, high = start % 86400, end - start // 86400 * 86400
            if low < opens - SLACK or high > closes + SLACK:
                yield f"{entry.key} is worked on at {told(start)}, outside the hours"
            if any(max(low, a) < min(high, b) - SLACK for a, b in rests):
                yield f"{entry.key} is worked on at {told(start)}, in a rest"


def _seconds(clock: str) -> float:
    hours, minutes = clock.split(":")
    return int(hours) * 3600.0 + int(minutes) * 60.0


def one_coat_at_a_time(case: Case) -> Iterator[str]:
    """No more spraying at once than there are bays, and no gun in two hands."""
    sprays = [entry for entry in case.day.entries if entry.kind == "spray"]
    if case.job.workshop.bays == 1:
        for one, other in pairwise(sorted(sprays, key=lambda entry: entry.start.value)):
            if other.start.value < one.end.value - SLACK:
                yield f"{other.key} is sprayed at {told(other.start.value)} beside {one.key}"
    for one, other in combinations([e for e in case.day.entries if e.tools], 2):
        both = set(one.tools) & set(other.tools)
        if both and max(one.start.value, other.start.value) < min(one.end.value, other.end.value):
            yield f"{sorted(both)} in two hands: {one.key} and {other.key}"


def guns_are_cleaned(case: Case) -> Iterator[str]:
    """Somebody cleans a gun before another product goes into it."""
    guns = {tool for entry in case.day.entries for tool in entry.tools}
    for gun in sorted(guns):
        uses = [e for e in case.day.entries if gun in e.tools]
        last = ""
        for entry in sorted(uses, key=lambda e: e.start.value):
            if entry.act == "clean gun":
                last = ""
            elif last not in ("", entry.product):
                yield f"{gun} still holds {last} when {entry.key} begins {told(entry.start.value)}"
                last = entry.product
            else:
                last = entry.product
        if last:
            yield f"{gun} is left with {last} in it"


def weather_allows(case: Case) -> Iterator[str]:
    """Nothing sprayed in an hour whose verdict for the product is no go, while the table lasts."""
    outlook = case.plan.outlook
    hours = [] if outlook is None or not outlook.start else list(outlook.hours)
    if not hours or outlook is None:
        return
    clock = outlook.start.split("T")[-1].split(" ")[-1]
    first = _seconds(clock[:5])
    for entry in case.day.entries:
        for hour, until in zip(hours, [h.time.value for h in hours[1:]], strict=False):
            span = (hour.time.value + first, until + first)
            if max(entry.start.value, span[0]) < min(entry.end.value, span[1]) - SLACK:
                verdicts = {go.key: go.verdict for go in hour.products}
                if entry.kind == "spray" and verdicts.get(entry.product) == "no go":
                    yield f"{entry.key} at {told(entry.start.value)} is against the weather"


CHECKS = (
    every_coat,
    work_takes_its_time,
    flash_is_kept,
    layers_are_in_order,
    windows_are_told_true,
    bare_metal_is_covered,
    nothing_dusty_beside_wet_paint,
    mixes_are_fresh,
    mixes_serve_once,
    one_place_at_a_time,
    in_hours,
    one_coat_at_a_time,
    guns_are_cleaned,
    weather_allows,
)
