"""Every table of the papers as CSV: plain numbers, the unit in the head of the column.

Heads, keys and words of fixed lists are the same in every language, and numbers have a decimal
point, so that a sheet or a program that reads one table reads every later one. Sentences are told
in the reader's language and units.
"""

import csv
from collections.abc import Callable, Iterable, Iterator, Mapping, Sequence
from io import StringIO
from typing import Final, NamedTuple

from coatwright.actions.dossier.told import Dossier, LayerTold, PatchTold
from coatwright.faces.drawing.day import hour
from coatwright.faces.format import Words
from coatwright.figures import Figure
from coatwright.planning.plan import AreaPlan, LayerPlan, PatchPlan, Plan
from coatwright.sentences import Said, joined, say
from coatwright.units import shown

Value = str | int | Figure | None
Row = Mapping[str, Value]


_COMPUTED: Final = "=+-@\t\n\uff1d\uff0b\uff0d\uff20"


class Table(NamedTuple):
    """One table: the name of its file, and its rows by column."""

    name: str
    rows: Sequence[Row]


def as_csv(rows: Iterable[Row], words: Words) -> str:
    """Rows as CSV. A figure takes its unit into the head, and its ends into two more columns."""
    kept = list(rows)
    out = StringIO()
    table = csv.writer(out, lineterminator="\n")
    columns = list(kept[0]) if kept else []
    parts = {name: _parts([row[name] for row in kept], name, words) for name in columns}
    table.writerow([head for name in columns for head in parts[name].heads])
    for index in range(len(kept)):
        table.writerow([cell for name in columns for cell in parts[name].cells[index]])
    return out.getvalue()


def cell(text: str) -> str:
    """A text that a spreadsheet shows and does not compute, whatever it begins with.

    Source: OWASP, CSV Injection, from memory: a quote before = + - @, tab and line end, and before
    the full-width forms of the first four.
    """
    text = text.replace("\r\n", "\n").replace("\r", "\n")  # a lone return would end the row
    first = text.lstrip(" ")[:1]
    return f"'{text}" if first and first in _COMPUTED else text


class _Column(NamedTuple):
    heads: list[str]
    cells: list[list[str]]


def _parts(values: Sequence[Value], name: str, words: Words) -> _Column:
    """A column of figures as value, low and high; any other as it is."""
    figures = [value for value in values if isinstance(value, Figure)]
    if not figures:
        return _Column([name], [[_text(value, words)] for value in values])
    unit = _in_unit(0.0, figures[0].purpose, words)[1]
    head = f"{name} [{unit}]" if unit else name
    wide = any(figure.spread for figure in figures)
    heads = [head, f"{head} low", f"{head} high"] if wide else [head]
    return _Column(heads, [_numbers(value, figures[0].purpose, wide, words) for value in values])


def _numbers(value: Value, purpose: str, wide: bool, words: Words) -> list[str]:
    """All of a column in the unit of its head, whatever each would be told in alone."""
    if not isinstance(value, Figure):
        return [_text(value, words), *([""] * 2 if wide else [])]
    ends = value.spread or ("", "")
    found = [value.value, *(ends if wide else ())]
    return ["" if one == "" else f"{_in_unit(float(one), purpose, words)[0]:.6g}" for one in found]


def _text(value: Value, words: Words) -> str:
    if isinstance(value, Said):
        value = words.plain(value)
    return "" if value is None else cell(value) if isinstance(value, str) else str(value)


def _in_unit(value: float, purpose: str, words: Words) -> tuple[float, str]:
    if purpose == "money":
        return value, words.currency
    return shown(value, purpose, words.system)


def _patches(plan: Plan) -> Iterator[tuple[AreaPlan, PatchPlan]]:
    for area in plan.areas:
        for patch in area.patches:
            yield area, patch


def _areas(plan: Plan) -> Iterator[Row]:
    for area, patch in _patches(plan):
        yield {
            "area": area.key, "title": area.title, "patch": patch.key, "ground": patch.ground,
            "trusted": "yes" if patch.trusted else "no", "surface": patch.surface,
            "route": patch.route.title, "film": patch.film_total,
        }  # fmt: skip


def _layers(plan: Plan) -> Iterator[Row]:
    for area, patch in _patches(plan):
        for layer in patch.layers:
            yield _layer(area, patch, layer)


def _layer(area: AreaPlan, patch: PatchPlan, layer: LayerPlan) -> Row:
    return {
        "area": area.key, "patch": patch.key, "product": layer.product, "title": layer.title,
        "coats": layer.coats, "wanted": layer.wanted, "laid": layer.laid, "flash": layer.flash,
        "recoat from": layer.recoat_from, "recoat until": layer.recoat_until,
        "past that": layer.past_window,
    }  # fmt: skip


def _sections(plan: Plan) -> Iterator[Row]:
    for area, patch in _patches(plan):
        for place, band in enumerate(patch.section, start=1):
            yield {
                "area": area.key, "patch": patch.key, "from the metal up": place,
                "title": band.title, "family": band.family, "old": "yes" if band.old else "no",
                "laid": band.laid, "rubbed off": band.rubbed,
            }  # fmt: skip


def _rubs(plan: Plan) -> Iterator[Row]:
    for area, patch in _patches(plan):
        for layer in patch.layers:
            for rub in layer.rubs:
                yield {
                    "area": area.key, "patch": patch.key, "product": layer.product,
                    "grade": rub.grade, "takes": rub.takes, "left": rub.left,
                    "breaks through": rub.break_through,
                }  # fmt: skip


def _steps(plan: Plan) -> Iterator[Row]:
    for area, patch in _patches(plan):
        for place, step in enumerate(patch.route.steps, start=1):
            yield {
                "area": area.key, "patch": patch.key, "step": place, "text": step.text,
                "before": step.before, "hours": step.hours, "money": step.money,
            }  # fmt: skip


_SET: Final = (
    "nozzle", "pressure", "fan", "fan_length", "fluid", "fluid_share", "distance", "speed", "pace",
    "pitch", "overlap", "strokes", "overrun", "coats", "wet_coat", "dry_coat", "dry_total",
    "thinnest", "run_limit", "run_chance", "light_chance", "capture", "transfer", "overspray",
    "trigger_time", "spray_minutes", "paint",
)  # fmt: skip


def _recipes(plan: Plan) -> Iterator[Row]:
    for one in plan.recipes.values():
        named = {
            "area": one.area, "product": one.product, "gun": one.gun, "hand": one.hand,
            "direction": one.direction, "spray in": one.spray_in,
            "within bounds": "yes" if one.within_bounds else "no",
        }  # fmt: skip
        yield {**named, **{name.replace("_", " "): getattr(one, name) for name in _SET}}


def _paint(plan: Plan) -> Iterator[Row]:
    for need in plan.products:
        yield {
            "product": need.key, "title": need.title, "ready": need.volume,
            "on the work": need.on_surface, "overspray": need.overspray,
            "gun and cup": need.gun_losses, "test cards": need.test_cards, "reserve": need.reserve,
            "thinner": need.thinner_share, "cup seconds": need.cup_seconds, "cup": need.cup,
            "VOC": need.voc, "VOC limit": need.voc_limit, "verdict": need.voc_verdict,
        }  # fmt: skip


def _mixes(plan: Plan) -> Iterator[Row]:
    for need in plan.products:
        for number, batch in enumerate(need.batches, start=1):
            for place, pour in enumerate(batch.pours, start=1):
                yield {
                    "product": need.key, "mix": number, "serves": " ".join(batch.serves),
                    "pour": place, "title": pour.title, "volume": pour.volume, "mass": pour.mass,
                    "scale reads": pour.on_scale, "pot life": batch.pot_life,
                }  # fmt: skip


def _buying(plan: Plan) -> Iterator[Row]:
    for one in plan.purchases:
        packs = " + ".join(f"{count} x {size}" for size, count in one.packs.items() if count)
        yield {
            "item": one.key, "title": one.title, "packs": packs, "need": one.need,
            "bought": one.bought, "left": one.left, "keeps": one.keeps, "price": one.price,
        }  # fmt: skip


def _consumables(plan: Plan) -> Iterator[Row]:
    for line in plan.consumables:
        said = f"{line.quantity.value:g}" if line.quantity else ""
        purpose = line.quantity.purpose if line.quantity else ""
        yield {"item": line.key, "title": line.title, "quantity in SI units": said,
               "kind of quantity": purpose, "price": line.amount}  # fmt: skip


def _cost(plan: Plan) -> Iterator[Row]:
    for line in plan.cost.lines:
        hours = line.quantity if line.quantity and line.quantity.purpose == "hours" else None
        yield {"line": line.key, "title": line.title, "hours": hours, "amount": line.amount}
    sums = {"net": plan.cost.net, "tax": plan.cost.tax, "total": plan.cost.total}
    for key, amount in sums.items():
        yield {"line": key, "title": key, "hours": None, "amount": amount}


def _stages(plan: Plan) -> Iterator[Row]:
    yield {"stage": "deposit", "title": say("before work begins"), "hours": None,
           "due": plan.cost.deposit}  # fmt: skip
    for one in plan.cost.stages:
        yield {"stage": one.key, "title": one.title, "hours": one.hours, "due": one.amount}


def _air(plan: Plan) -> Iterator[Row]:
    card = plan.outlook.air_card if plan.outlook else None
    for gun in card.guns if card else ():
        yield {
            "gun": gun.key, "title": gun.title, "wall, pulled": gun.wall,
            "wall, let go": gun.wall_released, "at the gun": gun.wanted, "least": gun.needed,
            "air used": gun.air_used, "holds": gun.holds, "in strokes": gun.strokes,
            "then rest": gun.rest, "held, with mask": gun.with_mask,
        }  # fmt: skip


def _days(plan: Plan) -> Iterator[Row]:
    for one in plan.day.entries if plan.day else ():
        yield {
            "day": one.day, "from": hour(one.start.value), "to": hour(one.end.value),
            "kind": one.kind, "who": " ".join(one.people), "area": one.area, "patch": one.patch,
            "product": one.product, "coat": one.coat or "", "mix": one.mix, "text": one.text,
        }  # fmt: skip


PLAN_TABLES: Final[Mapping[str, Mapping[str, Callable[[Plan], Iterator[Row]]]]] = {
    "areas": {"areas": _areas, "layers": _layers, "sections": _sections, "rubbing": _rubs,
              "steps": _steps},
    "buying": {"buying": _buying, "consumables": _consumables},
    "mixes": {"paint": _paint, "mixes": _mixes},
    "guns": {"recipes": _recipes},
    "air": {"air": _air},
    "days": {"days": _days},
    "estimate": {"cost": _cost, "stages": _stages},
}  # fmt: skip
"""The tables of each paper of a plan."""


def plan_tables(plan: Plan, which: str) -> list[Table]:
    """The tables of a paper, or of all of them for the pack and its cover."""
    chosen = PLAN_TABLES.get(which)
    named = [chosen] if chosen is not None else list(PLAN_TABLES.values())
    return [Table(name, list(make(plan))) for tables in named for name, make in tables.items()]


def record_tables(dossier: Dossier) -> list[Table]:
    """The tables of the paint record."""
    made = {
        "layers": _laid_layers(dossier),
        "coats": _laid_coats(dossier),
        "rubbing": _laid_rubs(dossier),
        "readings": _readings(dossier),
        "tins": _tins(dossier),
        "events": _entries(dossier),
        "extras": _extras(dossier),
        "recoating": _recoats(dossier),
        "handing-over": _handing_over(dossier),
    }
    return [Table(name, list(rows)) for name, rows in made.items()]


def _told(dossier: Dossier) -> Iterator[tuple[str, PatchTold, LayerTold]]:
    for area in dossier.areas:
        for patch in area.patches:
            for layer in patch.layers:
                yield area.key, patch, layer


def _laid_layers(dossier: Dossier) -> Iterator[Row]:
    for area, patch, layer in _told(dossier):
        yield {
            "area": area, "patch": patch.key, "ground": patch.ground, "layer": layer.title,
            "coats": len(layer.coats), "last coat": layer.coats[-1].at.isoformat(),
            "hard right through": layer.hard.isoformat() if layer.hard else None,
            "planned": layer.planned, "found": layer.found, "readings": layer.readings,
        }  # fmt: skip


def _laid_coats(dossier: Dossier) -> Iterator[Row]:
    for area, patch, layer in _told(dossier):
        for coat in layer.coats:
            yield {
                "area": area, "patch": patch.key, "layer": layer.title, "coat": coat.number,
                "at": coat.at.isoformat(), "who": coat.who, "mix": coat.mix, "gun": coat.gun,
                "air": coat.air, "metal": coat.metal, "humidity": coat.humidity, "wet": coat.wet,
                "paint used": coat.used, "note": coat.note,
            }  # fmt: skip


def _laid_rubs(dossier: Dossier) -> Iterator[Row]:
    for area, patch, layer in _told(dossier):
        where = {"area": area, "patch": patch.key, "layer": layer.title}
        for rub in layer.rubbed:
            yield {**where, "at": rub.at.isoformat(), "who": rub.who, "how": rub.how,
                   "took off": rub.took, "size": None}  # fmt: skip
        for broke in layer.broke:
            yield {**where, "at": broke.at.isoformat(), "who": broke.who,
                   "how": say("rubbed through to {ground}", ground=broke.ground), "took off": None,
                   "size": broke.surface}  # fmt: skip


def _readings(dossier: Dossier) -> Iterator[Row]:
    for area in dossier.areas:
        for patch in area.patches:
            for one in patch.readings:
                yield {
                    "area": area.key, "patch": patch.key, "at": one.at.isoformat(), "who": one.who,
                    "readings": one.count, "mean": one.film, "least wanted": one.wanted,
                    "rule": one.rule, "verdict": one.verdict,
                }  # fmt: skip


def _tins(dossier: Dossier) -> Iterator[Row]:
    for mix in dossier.mixes:
        for tin in mix.tins:
            yield {
                "mix": mix.key, "product": mix.title, "at": mix.at.isoformat(), "who": mix.who,
                "tin": tin.title, "batch number": tin.lot, "use by": tin.expiry,
                "poured": tin.poured, "asked for": tin.wanted,
            }  # fmt: skip


def _entries(dossier: Dossier) -> Iterator[Row]:
    for one in dossier.entries:
        yield {"at": one.at.isoformat(), "where": one.place, "what": one.what, "who": one.who}


def _extras(dossier: Dossier) -> Iterator[Row]:
    for one in dossier.extras:
        answers = joined("; ", (joined(": ", (said.who, said.what)) for said in one.answers))
        yield {"extra": one.key, "title": one.title, "reason": one.reason, "price": one.price,
               "status": one.status, "answers": answers}  # fmt: skip


def _handing_over(dossier: Dossier) -> Iterator[Row]:
    """Who took the work over, then what was done or seen since, then what is open."""
    told = dossier.handover
    if told.at is not None:
        yield {"state": "taken over", "at": told.at.isoformat(), "who": told.by, "where": "",
               "what": told.remarks}  # fmt: skip
    for state, entries in (("since then", told.since), ("open", told.defects)):
        for one in entries:
            yield {"state": state, "at": one.at.isoformat(), "who": one.who, "where": one.place,
                   "what": one.what}  # fmt: skip


def _recoats(dossier: Dossier) -> Iterator[Row]:
    for one in dossier.recoats:
        for over in one.over:
            yield {"on": joined(", ", one.stack), "places": "; ".join(one.places), "age": one.age,
                   "product": over.title, "verdict": over.verdict, "text": over.text}  # fmt: skip
