"""A rule of the trade as data: when it speaks, what it says, and why."""

from typing import Literal

from pydantic import Field

from coatwright.model.quantity import Key, Part

Verdict = Literal["yes", "yes if", "no"]
Severity = Literal["note", "caution", "fault", "ruin"]


class Rule(Part):
    """One rule. `when` is a condition over the facts of planning.rulebook."""

    id: Key
    title: str
    when: dict[str, object]
    verdict: Verdict
    severity: Severity
    reason: str
    failure: str = Field(description="what happens to the paint if it is ignored")
    remedy: str = ""
    needs: tuple[str, ...] = Field(
        default=(), description="for 'yes if': keyed, isolated, test patch ..."
    )
    experts_differ: bool = False
    source: str
    fires: dict[str, object] = Field(description="facts of an example that it catches")
    quiet: dict[str, object] = Field(description="facts of an example that it lets through")
