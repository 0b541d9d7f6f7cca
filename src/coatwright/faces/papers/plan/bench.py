"""Mix sheets, the buying list and the estimate."""

from typing import Any

from coatwright.faces.arranged.contents import Page, capital, sentence
from coatwright.faces.papers.plan.front import cautions_at
from coatwright.faces.papers.setting import Told
from coatwright.planning.plan import Batch, Plan, ProductNeed, Purchase

_NOTHING = 5e-6
"""Less than this [m3] left in the cup is not worth a word."""


def mixes(plan: Plan, told: Told) -> dict[str, Any]:
    """Every mix of every product, in pouring order, with what the scale reads."""
    titles = Page.of(plan).area_titles
    return {
        "cautions": cautions_at(plan, "mixing"),
        "products": [
            {
                "title": capital(need.title),
                "need": _need(need, told),
                "batches": [
                    _batch(number, batch, titles, told)
                    for number, batch in enumerate(need.batches, start=1)
                ],
            }
            for need in plan.products
            if need.batches
        ],
    }


def _need(need: ProductNeed, told: Told) -> str:
    brief = told.words.brief
    limit = f", limit {brief(need.voc_limit)}" if need.voc_limit else ""
    return (
        f"{told.words.text(need.volume)} ready to spray in all. Thinner "
        f"{brief(need.thinner_share)} of the mix by volume, to {brief(need.cup_seconds)} in the "
        f"{need.cup} cup. VOC {brief(need.voc)}{limit}: {need.voc_verdict}."
    )


def _batch(number: int, batch: Batch, titles: Any, told: Told) -> dict[str, Any]:
    brief = told.words.brief
    parts = [
        f"For {', '.join(titles.get(key, key) for key in batch.serves)}.",
        f"Pot life {brief(batch.pot_life)}; spraying it takes {brief(batch.use_time)}."
        if batch.pot_life
        else f"Spraying it takes {brief(batch.use_time)}.",
    ]
    if batch.stir_wait.value:
        parts.append(f"Let it stand {brief(batch.stir_wait)} after stirring.")
    if batch.left.value > _NOTHING:
        parts.append(f"About {brief(batch.left)} will be left.")
    return {
        "title": f"Mix {number}: {brief(batch.volume)}"
        + (f", {batch.session}" if batch.session else ""),
        "text": " ".join(parts),
        "pours": [
            (f"{place}. {capital(pour.title)}", told.brief(pour.volume), told.brief(pour.mass),
             told.brief(pour.on_scale))
            for place, pour in enumerate(batch.pours, start=1)
        ],
    }  # fmt: skip


def buying(plan: Plan, told: Told) -> dict[str, Any]:
    """What to buy: packs, what is needed, what is left, the price; then the consumables."""
    return {
        "cautions": cautions_at(plan, "storing"),
        "rows": [
            (
                {"text": capital(one.title), "note": one.note},
                packs_of(one),
                told.brief(one.need),
                told.brief(one.left),
                told.brief(one.keeps) or "not stated",
                told(one.price),
            )
            for one in plan.purchases
        ],
        "consumables": [
            (capital(line.title), told.brief(line.quantity), told(line.amount))
            for line in plan.consumables
        ],
    }  # fmt: skip


def packs_of(one: Purchase) -> str:
    """The packs in words."""
    return " + ".join(f"{count} × {size}" for size, count in one.packs.items() if count) or "none"


def estimate(plan: Plan, told: Told) -> dict[str, Any]:
    """What it comes to and what moves it, what is due when, and where the owner says yes."""
    cost = plan.cost
    sums = (("Without tax", cost.net), ("Tax", cost.tax), ("In all", cost.total))
    return {
        "lines": [
            (capital(line.title), told.brief(line.quantity), told(line.amount))
            for line in cost.lines
            if line.amount.value
        ],
        "sums": [{"title": title, "amount": told(amount)} for title, amount in sums],
        "half": f"Half of such jobs come to less than {told.words.brief(cost.half)} with tax; "
        "four in five fall into the range in brackets.",
        "drivers": [sentence(line) for line in cost.drivers],
        "stages": [("Before work begins", "", told.brief(cost.deposit))]
        + [
            (capital(stage.title), told.brief(stage.hours), told.brief(stage.amount))
            for stage in cost.stages
        ],
    }
