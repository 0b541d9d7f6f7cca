"""Mix sheets, the buying list and the estimate."""

from typing import Any

from coatwright.faces.arranged.contents import Page, capital, sentence
from coatwright.faces.papers.plan.front import cautions_at
from coatwright.faces.papers.setting import Told
from coatwright.planning.plan import Batch, Plan, ProductNeed, Purchase
from coatwright.sentences import joined, say

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
    limit = say(", limit {limit}", limit=brief(need.voc_limit)) if need.voc_limit else ""
    return say(
        "{volume} ready to spray in all. Thinner {share} of the mix by volume, to {seconds} in the "
        "{cup} cup. VOC {voc}{limit}: {verdict}.",
        volume=told.words.text(need.volume),
        share=brief(need.thinner_share),
        seconds=brief(need.cup_seconds),
        cup=need.cup,
        voc=brief(need.voc),
        limit=limit,
        verdict=need.voc_verdict,
    )


def _batch(number: int, batch: Batch, titles: Any, told: Told) -> dict[str, Any]:
    brief = told.words.brief
    takes = brief(batch.use_time)
    parts = [
        say("For {places}.", places=", ".join(titles.get(key, key) for key in batch.serves)),
        say(
            "Pot life {pot_life}; spraying it takes {takes}.",
            pot_life=brief(batch.pot_life),
            takes=takes,
        )
        if batch.pot_life
        else say("Spraying it takes {takes}.", takes=takes),
    ]
    if batch.stir_wait.value:
        stands = brief(batch.stir_wait)
        parts.append(say("Let it stand {stands} after stirring.", stands=stands))
    if batch.left.value > _NOTHING:
        parts.append(say("About {left} will be left.", left=brief(batch.left)))
    title = say("Mix {number}: {volume}", number=number, volume=brief(batch.volume))
    return {
        "title": joined(", ", filter(None, (title, batch.session))),
        "text": joined(" ", parts),
        "pours": [
            (say("{place}. {title!c}", place=place, title=pour.title), told.brief(pour.volume),
             told.brief(pour.mass), told.brief(pour.on_scale))
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
                packs_of(one, told),
                told.brief(one.need),
                told.brief(one.left),
                told.brief(one.keeps) or say("not stated"),
                told(one.price),
            )
            for one in plan.purchases
        ],
        "consumables": [
            (capital(line.title), told.brief(line.quantity), told(line.amount))
            for line in plan.consumables
        ],
    }  # fmt: skip


def packs_of(one: Purchase, told: Told) -> str:
    """The packs in words."""
    number = told.words.tongue.number
    packs = (f"{count} × {number(size)}" for size, count in one.packs.items() if count)
    return " + ".join(packs) or say("none")


def estimate(plan: Plan, told: Told) -> dict[str, Any]:
    """What it comes to and what moves it, what is due when, and where the owner says yes."""
    cost = plan.cost
    sums = ((say("Without tax"), cost.net), (say("Tax"), cost.tax), (say("In all"), cost.total))
    return {
        "lines": [
            (capital(line.title), told.brief(line.quantity), told(line.amount))
            for line in cost.lines
            if line.amount.value
        ],
        "sums": [
            {"title": title, "amount": told(amount), "strong": amount is cost.total}
            for title, amount in sums
        ],
        "half": say(
            "Half of such jobs come to less than {half} with tax; four in five fall into the range "
            "in brackets.",
            half=told.words.brief(cost.half),
        ),
        "drivers": [sentence(line) for line in cost.drivers],
        "stages": [(say("Before work begins"), "", told.brief(cost.deposit))]
        + [
            (capital(stage.title), told.brief(stage.hours), told.brief(stage.amount))
            for stage in cost.stages
        ],
    }
