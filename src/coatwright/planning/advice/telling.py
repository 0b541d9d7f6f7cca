"""A way through the rules as a Route: figures, steps and sentences a person reads."""

from collections.abc import Iterable, Sequence

from coatwright.figures import Figure
from coatwright.model.work import Work
from coatwright.planning.advice.acts import Item
from coatwright.planning.advice.facts import laid_film, sheet_of
from coatwright.planning.advice.pricing import Price
from coatwright.planning.advice.search import Way
from coatwright.planning.advice.stack import UNCOUNTED, Stack
from coatwright.planning.plan import Finding, Route, Step
from coatwright.sentences import Said, joined, say

PRACTICE = "common practice, no source"
_SEVERITY = ("ruin", "fault", "caution", "note")


def route_of(way: Way, title: str, price: Price, work: Work) -> Route:
    """The route of a way; `title` is its name in the trade, if it has one."""
    keys = tuple(sheet_of(layer.product).key for layer in way.layers)
    findings = _findings(way)
    film, days = film_of(way), _days(way, price)
    money = _money(way, price, work)
    stripped = bool(way.before)
    named = title or joined(" + ", _short(way))
    return Route(
        key=("strip+" if stripped else "") + "+".join(keys),
        title=say("strip, {rest}", rest=named) if stripped else named,
        products=keys,
        possible=way.possible,
        film=film,
        days=days,
        money=money,
        steps=_steps(way, price, work),
        findings=findings,
        summary=_summary(way, findings),
        stripped=stripped,
    )


def _short(way: Way) -> list[str]:
    return [Said(layer.product.family.value) for layer in way.layers]


def _findings(way: Way) -> tuple[Finding, ...]:
    """Every finding once for its layer, the worst first."""
    found = {(f.rule, f.layer): f for layer in way.layers for f in layer.findings}
    return tuple(sorted(found.values(), key=lambda f: _SEVERITY.index(f.severity)))


def film_of(way: Way) -> Figure:
    """Dry film on the spot when all is done: old and new, less what rubbing takes."""
    new = {layer.product: layer for layer in way.layers}
    low = sum(p.film[0] for p in new if p.film and p.family not in UNCOUNTED)
    high = sum(p.film[1] for p in new if p.film and p.family not in UNCOUNTED)
    laid = sum(laid_film(p) or 0.0 for p in new if p.family not in UNCOUNTED)
    total = way.stack.film()
    rest = 0.0 if total is None else total - laid
    inputs: dict[str, Figure | str] = {
        sheet_of(p).key: Figure(
            laid_film(p) or 0.0, "film", "sheet", f"sheet:{sheet_of(p).key}", spread=p.film
        )
        for p in new
    }
    if total is None:
        inputs["old paint"] = "film not known; gauge it"
    return Figure(
        laid + rest,
        "film",
        "formula",
        PRACTICE,
        "old film + middle of each sheet's film - what rubbing takes; stone-chip and wax apart",
        inputs,
        (max(low + rest, 0.0), max(high + rest, 0.0)),
        "from the least to the most each sheet allows",
    )


def _days(way: Way, price: Price) -> Figure:
    elapsed = sum(price(item).days for item in way.items)
    return Figure(
        elapsed,
        "days",
        "formula",
        PRACTICE,
        "hours / 8 h a day + waits; a wait of 8 h and more runs through the night",
        spread=(elapsed * 0.8, elapsed * 1.6),
        spread_note="hours of work as practice varies",
    )


def _money(way: Way, price: Price, work: Work) -> Figure:
    charges = [price(item) for item in way.items]
    value = sum(charge.money for charge in charges)
    hours = sum(charge.hours for charge in charges)
    low, high = work.hours_spread
    return Figure(
        value,
        "money",
        "formula",
        PRACTICE,
        "hours x rate + materials + surface x film / solids / what lands, without tax"
        + ("; with the chance that a test fails and it must be stripped" if _risky(way) else ""),
        {"working time": Figure(hours, "hours", "assumed", PRACTICE, "minutes for each m2")},
        (value * low, value * high),
        "for ranking routes; the plan prices the chosen one from strokes and packs",
    )


def _risky(way: Way) -> bool:
    return any(item.risk for item in way.items)


def _steps(way: Way, price: Price, work: Work) -> tuple[Step, ...]:
    found: list[Step] = []
    first = sheet_of(way.layers[0].product).key if way.layers else ""
    for item in way.before:
        found.append(_step(item, first, len(found), price, work))
    for layer in way.layers:
        for item in layer.items:
            if item.material is None:
                key = sheet_of(layer.product).key
                found.append(_step(item, key, len(found), price, work))
    return tuple(found)


def _step(item: Item, before: str, index: int, price: Price, work: Work) -> Step:
    charge = price(item)
    low, high = work.hours_spread
    hours, money = charge.hours, charge.money
    return Step(
        key=f"{index + 1}-{item.act.replace(' ', '-')}",
        text=item.text,
        hours=Figure(
            hours,
            "hours",
            "assumed",
            PRACTICE,
            "minutes for each m2 x surface",
            spread=(hours * low, hours * high),
        ),
        money=Figure(
            money,
            "money",
            "assumed",
            PRACTICE,
            "hours x rate + materials",
            spread=(money * low, money * high),
        ),
        act=item.act,
        before=before,
        grade=item.grade,
    )


def _summary(way: Way, findings: Sequence[Finding]) -> str:
    """One or two sentences: why this way, or why not."""
    if not way.possible:
        worst = next(f for layer in way.layers if not layer.possible for f in layer.findings)
        why = [part for part in (worst.reason, worst.failure, worst.remedy) if part]
        return say("Not so: {why}", why=joined(" ", why))
    said = [f.reason for f in findings if f.verdict == "yes" and f.severity == "note"]
    told = (
        _tests(way) + said[:2] + [say("Mind: {title}.", title=f.title) for f in _cautions(findings)]
    )
    return joined(" ", told) or say("The rules have nothing against it.")


def _cautions(findings: Iterable[Finding]) -> list[Finding]:
    return [f for f in findings if f.severity == "caution"]


def _tests(way: Way) -> list[str]:
    if not _risky(way):
        return []
    return [say("Only if the old paint passes its tests; if not, it must be stripped.")]


def trust(stack: Stack) -> tuple[bool, str]:
    """Whether what is on a spot can be trusted, and why not."""
    old = stack.old
    if not old:
        return True, say("nothing old is on it")
    if any(c.family == "unknown paint" for c in old):
        return False, say("old paint of unknown history is never trusted: test it or strip it")
    if any(c.sound is False for c in old):
        return False, say("the old paint is cracked or lifting: strip it")
    if any(c.sound is None for c in old):
        return False, say("nobody has tried whether the old paint holds: cross-hatch and tape")
    return True, say("recorded and found sound")
