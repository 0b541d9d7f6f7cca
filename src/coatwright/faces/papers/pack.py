"""The papers of a plan: each alone, or all of them as the job pack."""

from collections.abc import Callable, Mapping
from typing import Any, Final, NamedTuple

from coatwright.errors import NotFound
from coatwright.faces.format import Words
from coatwright.faces.papers.plan import bench, front, wall
from coatwright.faces.papers.press import Paper, code, press
from coatwright.faces.papers.setting import Told, polished
from coatwright.planning.plan import Plan
from coatwright.sentences import say


class Part(NamedTuple):
    """One paper: its title, and what makes its data."""

    title: str
    data: Callable[[Plan, Told], Mapping[str, Any]]


PARTS: Final[Mapping[str, Part]] = {
    "cover": Part(say("Cover"), front.cover),
    "areas": Part(say("Areas and sections"), front.areas),
    "buying": Part(say("Buying list"), bench.buying),
    "mixes": Part(say("Mix sheets"), bench.mixes),
    "guns": Part(say("Recipe cards"), wall.guns),
    "air": Part(say("Air card"), wall.air),
    "days": Part(say("Day sheets"), wall.days),
    "estimate": Part(say("Estimate"), bench.estimate),
}
"""The papers of a plan, in the order of the pack."""

PACK: Final = "pack"


def pack_pdf(
    plan: Plan, words: Words, paper: Paper = "a4", which: str = PACK, address: str = ""
) -> bytes:
    """The job pack, or one paper of it, as PDF. address: of its page in the workshop's own app."""
    data = pack_data(plan, words, which, address)
    return press("pack", data, paper, tongue=words.tongue)


def pack_data(plan: Plan, words: Words, which: str = PACK, address: str = "") -> dict[str, Any]:
    """Every text of the pack or of one of its papers. Raises NotFound for a paper there is not."""
    if which != PACK and which not in PARTS:
        raise NotFound(
            f"there is no paper '{which}' of a plan", instead=f"use {PACK}, {', '.join(PARTS)}"
        )
    told = Told(words)
    chosen = PARTS if which == PACK else {which: PARTS[which]}
    kind = say("Job pack") if which == PACK else PARTS[which].title
    made: dict[str, Any] = polished({
        "title": say("{job}: {kind!l}", job=plan.title, kind=kind),
        "kind": kind,
        "job": plan.title,
        "foot": say("{title} · invented", title=plan.title) if plan.invented else plan.title,
        "notice": front.INVENTED if plan.invented else "",
        "address": address,
        "svg": code(address) if address else "",
        "contents": [part.title for part in chosen.values()],
        "parts": [
            {"paper": key, "title": part.title, **part.data(plan, told)}
            for key, part in chosen.items()
        ],
    }, words)  # fmt: skip
    return made
