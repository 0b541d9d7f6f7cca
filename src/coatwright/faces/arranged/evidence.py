"""What speaks for and against a cause, as sentences with their figures."""

from coatwright.faces.format import Words
from coatwright.record.diagnosis.evidence import Evidence
from coatwright.sentences import Said


def evidence(one: Evidence, words: Words) -> str:
    """One piece of evidence as a sentence with its figures, place and time."""
    if one.at is None:
        return words.say("{what}: {state}", what=one.words, state=Said(one.state))
    told = f"{words.tell(one.words)}{_figures(one, words)}"
    if one.state == "unsure":
        told = words.say("perhaps {told}", told=told)
    return f"{told} ({words.tell(one.place)}, {words.clock(one.at.isoformat())})"


def _figures(one: Evidence, words: Words) -> str:
    if one.value is None or one.bound is None:
        return ""
    if one.said:
        bound = one.bound_said or words.brief(one.bound)
        if one.sign.side == "above":
            return words.say(": {found}, at most {bound}", found=one.said, bound=bound)
        return words.say(": {found}, at least {bound}", found=one.said, bound=bound)
    return f": {words.against(one.value, one.sign.side, one.bound)}"
