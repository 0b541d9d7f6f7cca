"""What became of the pots that stand in the shop when a day is planned anew, in sentences."""

from collections.abc import Iterator, Sequence

from coatwright.engines.timetable.problem import Mix, Pot
from coatwright.planning.day.told.changes import name_of
from coatwright.planning.day.told.clashing import moment
from coatwright.planning.day.workings import MINUTES_A_DAY, Workings
from coatwright.sentences import joined, say

ORDINALS = (
    say("first"), say("second"), say("third"), say("fourth"), say("fifth"), say("sixth"),
    say("seventh"), say("eighth"), say("ninth"), say("tenth"),
)  # fmt: skip


def told_of_pots(
    before: Workings, after: Workings, now: int, origins: Sequence[str]
) -> tuple[str, ...]:
    """Pots that serve other coats than they were to, and why.

    origins: for each mix of the past, in order, its key in the plan before; "" if it had none.
    """
    teller = _Pots(before, after, now)
    past = [mix for mix in after.timetable.mixes if mix.start < now]
    found: list[str] = []
    for mix, origin in zip(past, origins, strict=False):
        found += teller.pot(mix, before.mixes_by_key.get(origin))
    found += teller.unmixed(set(origins[: len(past)]))
    return tuple(found)


class _Pots:
    def __init__(self, before: Workings, after: Workings, now: int) -> None:
        self.before, self.after, self.now = before, after, now
        self.slots = after.timetable.slots
        self.kinds = {pot.key: pot for pot in after.problem.pots}
        self.server = {key: mix for mix in after.timetable.mixes for key in mix.serves}

    def name(self, mix: Mix) -> str:
        """The first pot of a paint, or the second."""
        same = [one for one in self.after.timetable.mixes if one.pot == mix.pot]
        place = next(n for n, one in enumerate(same) if one is mix)
        which = ORDINALS[place] if place < len(ORDINALS) else say("{place}th", place=place + 1)
        return say("the {which} pot of {mix}", which=which, mix=self.title(mix))

    def title(self, mix: Mix) -> str:
        """The paint of a mix."""
        return self.after.asked.library[mix.pot].title

    def clock(self, minute: int) -> str:
        """A time of the day, with the day if that is another."""
        if minute // MINUTES_A_DAY == self.now // MINUTES_A_DAY:
            return f"{minute % MINUTES_A_DAY // 60:02d}:{minute % 60:02d}"
        return moment(minute)

    def pot(self, mix: Mix, planned: Mix | None) -> Iterator[str]:
        """What there is to say of a pot that has been mixed."""
        later = [key for key in mix.serves if self.slots[key].start >= self.now]
        wanted = [
            key
            for key in (planned.serves if planned else ())
            if key in self.slots and self.slots[key].start >= self.now
        ]
        name = self.name(mix)
        if planned is None:
            use = (
                say("it is for {later}", later=self.coats(later))
                if later
                else say("nothing is left to do with it")
            )
            yield say(
                "{name!c} was mixed at {end}, which no plan had: {use}.",
                name=name,
                end=self.clock(mix.end),
                use=use,
            )
            return
        lost = [key for key in wanted if key not in mix.serves and key in self.server]
        if lost:
            yield say(
                "{name!c} {why}: {instead}.",
                name=name,
                why=self.why(mix, lost),
                instead=self.instead(lost),
            )
        more = [key for key in later if key not in wanted]
        if more:
            yield say("{name!c} is also for {more}.", name=name, more=self.coats(more))

    def why(self, mix: Mix, lost: Sequence[str]) -> str:
        """Why it does not serve what it was to."""
        kind = self.kinds[mix.pot]
        gone = kind.gone(mix)
        if gone <= self.now:
            poured = gone < mix.start + kind.life
            if poured:
                return say("is out of use since {gone}", gone=self.clock(gone))
            return say("went off at {gone}", gone=self.clock(gone))
        left = self.left(kind, mix)
        if left < min(dict(kind.amounts)[key] for key in lost):
            return say("is empty") if left <= 0 else say("has only {left} mL left", left=left)
        if any(self.slots[key].end > gone for key in lost):
            return say("goes off at {gone}", gone=self.clock(gone))
        return say("is used for something else")

    def left(self, kind: Pot, mix: Mix) -> int:
        """What its coats leave in it [mL]."""
        amounts = dict(kind.amounts)
        return kind.holds(mix) - sum(amounts.get(key, 0) for key in mix.serves)

    def instead(self, lost: Sequence[str]) -> str:
        """What paints the coats that it was for."""
        others: dict[int, list[str]] = {}
        for key in lost:
            others.setdefault(id(self.server[key]), []).append(key)
        told = []
        for keys in others.values():
            other = self.server[keys[0]]
            if other.start < self.now:
                told.append(
                    say(
                        "{keys} takes its paint from {other}",
                        keys=self.coats(keys),
                        other=self.name(other),
                    )
                )
            elif len(others) == 1:
                told.append(
                    say(
                        "what it was for gets a pot of its own, mixed at {start}",
                        start=self.clock(other.start),
                    )
                )
            else:
                told.append(
                    say(
                        "{keys} gets a pot mixed at {start}",
                        keys=self.coats(keys),
                        start=self.clock(other.start),
                    )
                )
        return joined("; ", told)

    def coats(self, keys: Sequence[str]) -> str:
        """Coats by name, the first few of them."""
        names = [name_of(self.after, self.after.bout(key)) for key in keys[:2]]
        more = say(" and {keys} more", keys=len(keys) - 2) if len(keys) > 2 else ""
        if more or len(names) == 1:
            return joined(", ", names) + more
        return say("{first} and {then}", first=names[0], then=names[1])

    def unmixed(self, made: set[str]) -> Iterator[str]:
        """Mixes that were to be made by now and have not been."""
        for key, mix in self.before.mixes_by_key.items():
            if not self.before.now <= mix.start < self.now or key in made:
                continue
            waits = [self.server[one] for one in mix.serves if one in self.server]
            fresh = [one for one in waits if one.start >= self.now]
            if fresh:
                yield (
                    say(
                        "No {mix} was mixed at {start}: it is to be mixed at {start2}.",
                        mix=self.title(mix),
                        start=self.clock(mix.start),
                        start2=self.clock(fresh[0].start),
                    )
                )
