"""The walk round the vehicle: areas measured with a tape, patches, what is not trusted."""

from collections.abc import Mapping
from dataclasses import dataclass
from typing import Any, Final, get_args

from pydantic import TypeAdapter, ValidationError

from coatwright.actions.shop import LAST, Opened, Shop
from coatwright.errors import InputError, NotFound
from coatwright.intake.edits import key_of
from coatwright.model.area import Area
from coatwright.model.shape import Shape
from coatwright.model.substrate import Family, Ground, Layer, Patch
from coatwright.record.events import Described, Event, said
from coatwright.sentences import joined, say

UNTRUSTED: Final = (Layer(family=Family.UNKNOWN),)
"""What lies on a patch whose old paint nobody knows: never trusted."""

_SHAPE: Final[TypeAdapter[Shape]] = TypeAdapter(Shape)


@dataclass(frozen=True)
class Measure:
    """One length that a shape asks for."""

    name: str
    meaning: str
    example: str
    least: float | None


def shapes() -> dict[str, tuple[Measure, ...]]:
    """Every shape with the lengths it asks for, in the order of measuring."""
    return {kind: _measures(shape) for kind, shape in _kinds().items()}


def _kinds() -> dict[str, Any]:
    members = get_args(get_args(Shape)[0])
    return {shape.model_fields["kind"].default: shape for shape in members}


def _measures(shape: Any) -> tuple[Measure, ...]:
    return tuple(
        Measure(
            name,
            field.description or "",
            str((field.examples or [""])[0]),
            None if field.is_required() else float(field.default),
        )
        for name, field in shape.model_fields.items()
        if name != "kind"
    )


def shape_of(kind: str, given: Mapping[str, str]) -> Shape:
    """The shape with these lengths, each written with its unit. Raises InputError."""
    known = _kinds()
    if kind not in known:
        raise InputError(
            say("there is no shape '{kind}'", kind=kind),
            instead=say("use one of {known}", known=joined(", ", known)),
        )
    wanted = {m.name: given[m.name] for m in shapes()[kind] if given.get(m.name, "").strip()}
    try:
        return _SHAPE.validate_python({"kind": kind, **wanted}, context={"written": True})
    except ValidationError as wrong:
        raise _fault(wrong) from None


@dataclass(frozen=True)
class Sized:
    """What a shape comes to: one face [m2], and all its faces."""

    face: float
    all: float


def sized(kind: str, given: Mapping[str, str]) -> Sized:
    """The surface of a shape as it is being measured. Raises InputError while it cannot be told."""
    face = shape_of(kind, given).area()
    count = int(given.get("count") or 1)
    return Sized(face, face * count * (2 if given.get("both_sides") else 1))


def area_of(opened: Opened, given: Mapping[str, str], before: Area | None = None) -> Area:
    """An area as a form says it, new or in place of `before`. Raises InputError."""
    title = given.get("title", "").strip()
    if not title:
        raise InputError(
            say("the area has no name"), field="title", instead=say("say what it is called")
        )
    keys = [area.key for area in opened.bench.job.areas]
    fields: dict[str, Any] = before.model_dump() if before else {"key": key_of(keys, title)}
    fields |= {
        "title": title,
        "shape": shape_of(given.get("kind", ""), given),
        "count": int(given.get("count") or 1),
        "both_sides": bool(given.get("both_sides")),
    }
    for name in ("zone", "orientation", "finish", "note"):
        if given.get(name):
            fields[name] = given[name]
    if given.get("holes", "").strip():
        fields["holes"] = given["holes"]
    if before is None:
        fields["patches"] = (_patch(given),)
    try:
        return Area.model_validate(fields, context={"written": False})
    except ValidationError as wrong:
        raise _fault(wrong) from None


def _patch(given: Mapping[str, str]) -> Patch:
    ground = Ground(given.get("ground") or Ground.STEEL)
    return Patch(key="whole", ground=ground, layers=UNTRUSTED if given.get("untrusted") else ())


def add_area(shop: Shop, key: str, who: str, given: Mapping[str, str]) -> Area:
    """Add an area to a job."""
    area = area_of(shop.open(key), given)
    shop.change(
        key,
        ("areas", LAST),
        area,
        _told(shop, key, who, say("added {area}", area=area.title), area.key),
    )
    return area


def change_area(shop: Shop, key: str, who: str, area: str, given: Mapping[str, str]) -> Area:
    """Measure an area anew."""
    opened = shop.open(key)
    place, before = find_area(opened, area)
    after = area_of(opened, given, before)
    told = _told(shop, key, who, say("measured {after} anew", after=after.title), area)
    shop.change(key, ("areas", place), after, told)
    return after


def remove_area(shop: Shop, key: str, who: str, area: str) -> Event:
    """Take an area out of a job; undo brings it back."""
    place, before = find_area(shop.open(key), area)
    told = _told(shop, key, who, say("took {before} out", before=before.title), area)
    return shop.change(key, ("areas", place), None, told)


def change_patch(
    shop: Shop, key: str, who: str, spot: tuple[str, str], given: Mapping[str, str]
) -> Patch:
    """Say anew what a patch is: its ground, share, whether its old paint is trusted.

    A patch that gives up a part of its share hands it to a new one (key "" in `spot`), so that
    the shares still come to 100 %.
    """
    area, patch = spot
    place, found = find_area(shop.open(key), area)
    after, patches = _changed(found, patch, given)
    whole = found.model_copy(update={"patches": patches})
    told = _told(
        shop,
        key,
        who,
        say(
            "{found}: {after} is {ground}", found=found.title, after=after.key, ground=after.ground
        ),
        area,
    )
    shop.change(key, ("areas", place), Area.model_validate(whole.model_dump()), told)
    return after


def _changed(area: Area, patch: str, given: Mapping[str, str]) -> tuple[Patch, tuple[Patch, ...]]:
    if patch:
        before = next((one for one in area.patches if one.key == patch), None)
        if before is None:
            raise NotFound(say("{area} has no patch '{patch}'", area=area.title, patch=patch))
        after = _as_said(before, given)
        return after, tuple(after if one is before else one for one in area.patches)
    share = _share(given.get("share", ""))
    donor = max(area.patches, key=lambda one: one.share)
    if share >= donor.share:
        raise InputError(
            say("no patch of {area} has {share:.0%} to give", area=area.title, share=share),
            field="share",
            instead=say("it must be less than {share:.0%}", share=donor.share),
        )
    key = key_of([one.key for one in area.patches], given.get("name") or given.get("ground", ""))
    new = _as_said(Patch(key=key, share=share, ground=Ground.STEEL), given)
    rest = donor.model_copy(update={"share": donor.share - share})
    return new, (*(rest if one is donor else one for one in area.patches), new)


def _share(text: str) -> float:
    try:
        share = float(text.replace("%", "").replace(",", ".").strip()) / 100
    except ValueError:
        share = 0.0
    if not 0 < share < 1:
        raise InputError(
            say("'{text}' is no share of an area", text=text),
            field="share",
            instead=say("write a part, e.g. 15 %"),
        )
    return share


def _as_said(patch: Patch, given: Mapping[str, str]) -> Patch:
    update: dict[str, Any] = {"system": None}
    if given.get("ground"):
        update["ground"] = Ground(given["ground"])
    if "trust" in given:
        update["layers"] = UNTRUSTED if given["trust"] == "no" else ()
    update["rust"] = given.get("rust") == "yes" if "rust" in given else patch.rust
    return patch.model_copy(update=update)


def find_area(opened: Opened, area: str) -> tuple[int, Area]:
    """Place and area of that key. Raises NotFound."""
    for place, found in enumerate(opened.bench.job.areas):
        if found.key == area:
            return place, found
    raise NotFound(say("there is no area '{area}' in this job", area=area))


def _told(shop: Shop, key: str, who: str, what: str, area: str) -> Event:
    return said(key, who, shop.clock(), Described(file="-", what=what), area)


def _fault(wrong: ValidationError) -> InputError:
    first = wrong.errors()[0]
    field = ".".join(str(part) for part in first["loc"][-1:])
    message = first["msg"].removeprefix("Value error, ")
    return InputError(message, field=field)
