"""What may be spent on a search: seconds of the clock, and effort, alike on any machine."""

import math
import time
from dataclasses import dataclass
from typing import NamedTuple


class Mark(NamedTuple):
    """Up to where to spend: a moment of the clock [s], and the effort that must be left [-]."""

    moment: float
    effort: float


@dataclass
class Purse:
    """Seconds until a moment, and effort left in the solver's deterministic time."""

    until: float
    effort: float

    @property
    def end(self) -> Mark:
        """Spending everything."""
        return Mark(self.until, 0.0)

    def mark(self, share: float, up_to: Mark | None = None) -> Mark:
        """Where a share of what is left until a mark will have been spent."""
        up_to = up_to or self.end
        now = time.monotonic()
        effort = self.effort
        if math.isfinite(effort):
            effort -= share * max(effort - up_to.effort, 0.0)
        moment = min(now + share * max(up_to.moment - now, 0.0), up_to.moment)
        return Mark(moment, effort if math.isfinite(effort) else 0.0)

    def seconds(self, mark: Mark) -> float:
        """Seconds left until a mark."""
        return max(mark.moment - time.monotonic(), 0.0)

    def room(self, mark: Mark) -> float:
        """Effort left until a mark."""
        return max(self.effort - mark.effort, 0.0)

    def spent(self, mark: Mark) -> bool:
        """Whether a mark is reached."""
        return self.room(mark) <= 0.0 or self.seconds(mark) <= 0.0
