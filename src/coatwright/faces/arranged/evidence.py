"""What speaks for and against a cause, as sentences with their figures."""

from coatwright.faces.format import Words, clock
from coatwright.record.diagnosis.evidence import Evidence


def evidence(one: Evidence, words: Words) -> str:
    """One piece of evidence as a sentence with its figures, place and time."""
    if one.at is None:
        return f"{one.words}: {one.state}"
    told = f"{one.words}{_figures(one, words)}"
    if one.state == "unsure":
        told = f"perhaps {told}"
    return f"{told} ({one.place}, {clock(one.at.isoformat())})"


def _figures(one: Evidence, words: Words) -> str:
    if one.value is None or one.bound is None:
        return ""
    if one.said:
        bound = one.bound_said or words.brief(one.bound)
        word = "at most" if one.sign.side == "above" else "at least"
        return f": {one.said}, {word} {bound}"
    return f": {words.against(one.value, one.sign.side, one.bound)}"
