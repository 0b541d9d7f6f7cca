"""Signs of the cup: ratio, foreign parts, dates, viscosity, age."""

from collections.abc import Callable, Iterable
from datetime import UTC, date, datetime, time

from coatwright.record.diagnosis.signs import Measured, Missing, Outcome, Reader, Told, place
from coatwright.record.diagnosis.story import Layer, Mix, Story
from coatwright.record.events import Mixed

SCALE = 0.015
"""Spread of the share of a part that was weighed (assumption)."""
CUP = 0.6
"""Spread of a flow cup timed by hand [s] (assumption)."""

_HARDENERS = ("hardener", "activator", "catalyst")
_THINNERS = ("thinner", "reducer", "spirit")


def _mixes(story: Story, layer: Layer) -> list[Mix]:
    """The mixes that went on that layer, each once."""
    found = (story.mix_of(coat) for coat in layer.coats)
    return list({mix.said.mix: mix for mix in found if mix}.values())


def _poured(mix: Mixed, kind: tuple[str, ...], asked: bool) -> float:
    """Mass of the parts of one kind [kg], as poured or as asked for; '' kind is the base."""
    masses = mix.wanted if asked else mix.parts
    named = _HARDENERS + _THINNERS
    return sum(
        mass
        for part, mass in masses.items()
        if (part.endswith(kind) if kind else not part.endswith(named))
    )


def _share(mix: Mixed, kind: tuple[str, ...]) -> float | None:
    """A kind of part against the base, as a share of what the sheet asks; None if it asks none."""
    base, asked_base = _poured(mix, (), False), _poured(mix, (), True)
    asked = _poured(mix, kind, True)
    if not (base and asked_base and asked):
        return None
    return _poured(mix, kind, False) / base / (asked / asked_base)


def _shares(story: Story, index: int, kind: tuple[str, ...]) -> list[Measured] | Missing:
    layer = story.layers[index]
    mixes = [mix for mix in _mixes(story, layer) if mix.said.wanted]
    if not mixes:
        return Missing.NOT_RECORDED
    found = [
        Measured(share, None, SCALE, mix.at, place(layer.product))
        for mix in mixes
        if (share := _share(mix.said, kind)) is not None
    ]
    return found or Missing.NEVER_AROSE


def _extreme(
    kind: tuple[str, ...], pick: Callable[[Iterable[float]], float], off: bool = False
) -> Reader:
    """Reads the least or the most share of a kind of part; off: its distance from what is asked."""

    def read(story: Story, index: int) -> Outcome:
        found = _shares(story, index, kind)
        if isinstance(found, Missing):
            return found
        sizes = [abs(one.value - 1.0) if off else one.value for one in found]
        wanted = pick(sizes)
        worst = found[sizes.index(wanted)]
        return Measured(wanted, None, worst.spread, worst.at, worst.place)

    return read


def wrong_part(story: Story, index: int) -> Outcome:
    """A part that the mix sheet did not ask for."""
    layer = story.layers[index]
    mixes = [mix for mix in _mixes(story, layer) if mix.said.wanted]
    if not mixes:
        return Missing.NOT_RECORDED
    strange = [
        mix for mix in mixes
        if any(mass > 0 and part not in mix.said.wanted for part, mass in mix.said.parts.items())
    ]  # fmt: skip
    return Told(bool(strange), (strange or mixes)[-1].at, place(layer.product))


def expired(story: Story, index: int) -> Outcome:
    """How long past its use-by date the oldest tin was."""
    layer = story.layers[index]
    found = [
        Measured((mix.at - day).total_seconds(), None, 0.0, mix.at, place(layer.product))
        for mix in _mixes(story, layer)
        for text in mix.said.expiry.values()
        if (day := _day(text))
    ]
    return max(found, key=lambda one: one.value) if found else Missing.NOT_RECORDED


def _day(text: str) -> datetime | None:
    try:
        return datetime.combine(date.fromisoformat(text), time(), UTC)
    except ValueError:
        return None


def cup_thick(story: Story, index: int) -> Outcome:
    """Flow cup, against the longest of the sheet's spraying viscosity."""
    return _cup(story, index, "cup_most", max)


def cup_thin(story: Story, index: int) -> Outcome:
    """Flow cup, against the shortest of the sheet's spraying viscosity."""
    return _cup(story, index, "cup_least", min)


def _cup(story: Story, index: int, limit: str, pick: Callable[[Iterable[float]], float]) -> Outcome:
    layer = story.layers[index]
    bound = getattr(layer.planned, limit, None)
    found = [mix for mix in _mixes(story, layer) if mix.said.cup_seconds]
    if not found or bound is None:
        return Missing.NOT_RECORDED
    worst = pick(mix.said.cup_seconds or 0.0 for mix in found)
    return Measured(worst, bound, CUP, found[-1].at, place(layer.product))


def pot_old(story: Story, index: int) -> Outcome:
    """Age of the mix at the last trigger of a coat, against its pot life."""
    layer = story.layers[index]
    mixes = [(coat, mix) for coat in layer.coats if (mix := story.mix_of(coat))]
    if not mixes:
        return Missing.NOT_RECORDED
    found = [
        Measured((coat.ended - mix.at).total_seconds(), mix.said.pot_life, 120.0, coat.ended,
                 place(layer.product, coat.said.coat))
        for coat, mix in mixes
        if mix.said.pot_life
    ]  # fmt: skip
    if not found:
        return Missing.NEVER_AROSE
    return max(found, key=lambda one: one.value / (one.bound or 1.0))


def lots_differ(story: Story, index: int) -> Outcome:
    """Batches of the base, over all areas with the same product."""
    layer = story.layers[index]
    same = [one for many in story.others.values() for one in many if one.product == layer.product]
    lots = {lot for one in [layer, *same] for mix in _mixes(story, one)
            for part, lot in mix.said.lots.items()
            if lot and not part.endswith(_HARDENERS + _THINNERS)}  # fmt: skip
    if not lots:
        return Missing.NOT_RECORDED
    return Told(len(lots) > 1, layer.begun, place(layer.product))


READERS: dict[str, Reader] = {
    "hardener-short": _extreme(_HARDENERS, min),
    "hardener-over": _extreme(_HARDENERS, max),
    "ratio-off": _extreme(_HARDENERS, max, off=True),
    "thinner-over": _extreme(_THINNERS, max),
    "thinner-short": _extreme(_THINNERS, min),
    "wrong-part": wrong_part,
    "expired": expired,
    "cup-thick": cup_thick,
    "cup-thin": cup_thin,
    "pot-old": pot_old,
    "lots-differ": lots_differ,
}
