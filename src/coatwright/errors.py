"""Every error this package raises on purpose.

    CoatwrightError                 one sentence from what, where, instead
      InputError (ValueError)       a file or an answer is wrong: file, line, field
        InputErrors                 all the faults of one file at once
      RangeError (ValueError)       a value outside a formula's range of validity
      NotConverged (ArithmeticError) a solver stopped without an answer
      Infeasible                    no answer exists; the rules in conflict
      NotFound (LookupError)        no such area, product, figure ...
      StoreError                    what happened cannot be kept or read back

Engines raise only RangeError and NotConverged, so that each could stand alone.
"""

from collections.abc import Sequence

from coatwright.sentences import joined


class CoatwrightError(Exception):
    """Base of all: what is wrong, where, and what would be right instead."""

    def __init__(self, what: str, *, where: str = "", instead: str = "") -> None:
        self.what = what
        self.where = where
        self.instead = instead
        super().__init__(self.sentence)

    @property
    def sentence(self) -> str:
        """The one sentence a person reads."""
        head = joined(": ", (self.where, self.what)) if self.where else self.what
        return joined("; ", (head, self.instead)) if self.instead else head


class InputError(CoatwrightError, ValueError):
    """One fault in what a person wrote, with the file, line and field it stands in."""

    def __init__(
        self, what: str, *, file: str = "", line: int = 0, field: str = "", instead: str = ""
    ) -> None:
        self.file = file
        self.line = line
        self.field = field
        place = ":".join(part for part in (file, str(line) if line else "") if part)
        where = joined(", ", (part for part in (place, field) if part))
        super().__init__(what, where=where, instead=instead)


class InputErrors(InputError):
    """All the faults of one file, so that they can be mended in one go."""

    def __init__(self, faults: Sequence[InputError]) -> None:
        self.faults = tuple(faults)
        super().__init__(joined("\n", (fault.sentence for fault in self.faults)))


class RangeError(CoatwrightError, ValueError):
    """A value outside the range in which a formula holds."""


class NotConverged(CoatwrightError, ArithmeticError):
    """A solver stopped before it had an answer; it never returns a guess as a result."""


class Infeasible(CoatwrightError):
    """Nothing satisfies all that was asked; names the demands in conflict."""


class NotFound(CoatwrightError, LookupError):
    """There is no such thing in this job, plan or library."""


class StoreError(CoatwrightError):
    """The record of what happened cannot be written or read, or would not stay true."""
