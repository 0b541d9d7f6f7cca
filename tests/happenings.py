"""Events for the tests of the record: one at a time by hand, or any stream Hypothesis thinks of."""

from datetime import UTC, datetime, timedelta

from hypothesis import strategies as st

from coatwright.record import events

START = datetime(2031, 5, 5, 8, 0, tzinfo=UTC)
JOB = "larkfield"

PLANNED = events.Planned(
    dry=30e-6,
    dry_spread=4e-6,
    surface=2.0,
    flash=600.0,
    recoat_from=3600.0,
    recoat_until=86400.0,
    past_window="rub down with P400",
    sand_from=7200.0,
    cured=604800.0,
)


class Diary:
    """Writes events minute by minute, with identities that tell where they stand."""

    def __init__(self, job: str = JOB, area: str = "", patch: str = "") -> None:
        self.job, self.area, self.patch = job, area, patch
        self.events: list[events.Event] = []

    def say(self, minute: float, body, area=None, patch=None, **more) -> events.Event:
        count = len(self.events) + 1
        made = events.Event(
            id=f"event-{count:06d}",
            job=self.job,
            at=START + timedelta(minutes=minute),
            who="Wren",
            body=body,
            area=self.area if area is None else area,
            patch=self.patch if patch is None else patch,
            number=count,
            **more,
        )
        self.events.append(made)
        return made

    def coat(self, minute: float, product: str, number: int = 1, minutes: float = 5, **more):
        """Begin and end a coat; planned and so on go to its beginning."""
        more.setdefault("planned", PLANNED)
        begun = self.say(minute, events.CoatBegun(product=product, coat=number, **more))
        self.say(minute + minutes, events.CoatDone(product=product, coat=number))
        return begun


def minute(number: float) -> datetime:
    return START + timedelta(minutes=number)


_NAMES = st.sampled_from(["epoxy", "primer", "clear"])
_COATS = st.integers(1, 3)
_AREAS = st.sampled_from(["", "roof", "door"])
_PATCHES = st.sampled_from(["", "left", "right"])
_SMALL = st.floats(1e-6, 1e-3)
_BODIES = st.one_of(
    st.builds(events.Arrived, condition=st.just("as it stood")),
    st.builds(events.Stripped, ground=st.just("steel")),
    st.builds(events.Found, what=st.just("filler"), ground=st.sampled_from(["", "filler"])),
    st.builds(events.Degreased),
    st.builds(
        events.Mixed,
        mix=st.sampled_from(["a", "b"]),
        product=_NAMES,
        parts=st.just({"base": 0.5, "hardener": 0.25}),
        pot_life=st.none() | st.just(7200.0),
    ),
    st.builds(
        events.CoatBegun,
        product=_NAMES,
        coat=_COATS,
        mix=st.sampled_from(["", "a", "b"]),
        gun=st.sampled_from(["", "hvlp"]),
        planned=st.none() | st.just(PLANNED),
    ),
    st.builds(events.CoatDone, product=_NAMES, coat=_COATS),
    st.builds(
        events.CupWeighed, product=_NAMES, coat=_COATS, before=st.just(1.2), after=st.just(0.9)
    ),
    st.builds(
        events.FilmRead,
        method=st.sampled_from(["gauge", "wet comb"]),
        product=st.just("") | _NAMES,
        coat=st.integers(0, 3),
        readings=st.lists(_SMALL, min_size=1, max_size=3).map(tuple),
    ),
    st.builds(events.ClimateRead, air=st.floats(273, 310), humidity=st.none() | st.floats(0, 1)),
    st.builds(
        events.AirRead,
        where=st.sampled_from(["gun", "wall"]),
        pressure=st.floats(1e5, 4e5),
        trigger=st.booleans(),
        gun=st.sampled_from(["", "hvlp"]),
    ),
    st.builds(
        events.FluidCaught,
        gun=st.just("hvlp"),
        volumes=st.just((50e-6, 52e-6)),
        seconds=st.just((15.0, 15.2)),
        air=st.booleans(),
        expected=st.none() | st.just(3.4e-6),
    ),
    st.builds(
        events.StrokesTimed,
        hand=st.just("painter"),
        seconds=st.just((2.4, 2.6, 2.5)),
        length=st.just(1.0),
        dry=st.booleans(),
        expected=st.none() | st.just(0.4),
    ),
    st.builds(
        events.BoardRead,
        hand=st.just("painter"),
        readings=st.lists(_SMALL, min_size=9, max_size=9).map(tuple),
        columns=st.just(3),
        spacing=st.just(0.1),
    ),
    st.builds(
        events.BoardWeighed,
        hand=st.just("painter"),
        before=st.just(1.0),
        after=st.sampled_from([0.9, 1.05]),
        surface=st.just(0.5),
        strokes=st.just(6),
    ),
    st.builds(events.RubbedDown, grade=st.just("P400"), product=st.just("") | _NAMES),
    st.builds(events.BrokeThrough, ground=st.just("metal") | _NAMES),
    st.builds(events.DefectSeen, defect=st.just("run")),
    st.builds(events.Repaired, defect=st.just("") | st.just("event-000001"), how=st.just("cut")),
    st.builds(events.Photographed, caption=st.just("left side")),
    st.builds(
        events.ExtraProposed,
        extra=st.sampled_from(["sill", "arch"]),
        title=st.just("a new sill"),
        reason=st.just("rust"),
        price_low=st.just(80.0),
        price=st.just(100.0),
        price_high=st.just(150.0),
    ),
    st.builds(events.Approved, extra=st.sampled_from(["sill", "arch"]), by=st.just("Ash")),
    st.builds(events.Refused, extra=st.sampled_from(["sill", "arch"]), by=st.just("Ash")),
    st.builds(events.Finished),
    st.builds(events.TakenOver, by=st.sampled_from(["Ash", "Rowan"])),
    st.builds(events.PaidTime, act=st.just("rubbing"), seconds=st.floats(60, 7200)),
    st.builds(events.Received, amount=st.floats(1, 1000)),
    st.builds(
        events.Bought,
        product=_NAMES,
        component=st.sampled_from(["base", "hardener"]),
        volume=st.just(1e-3),
        lot=st.sampled_from(["", "L1"]),
        density=st.none() | st.just(1200.0),
    ),
    st.builds(events.Counted, product=_NAMES, component=st.just("base"), volume=st.floats(0, 1e-3)),
    st.builds(events.Note, text=st.just("nothing to add")),
)


@st.composite
def streams(draw, most: int = 25, corrections: bool = True) -> list[events.Event]:
    """Events of one job at distinct moments, some of them corrections of any other one."""
    bodies = draw(st.lists(_BODIES, min_size=1, max_size=most))
    minutes = draw(
        st.lists(st.integers(0, 10_000), min_size=len(bodies), max_size=len(bodies), unique=True)
    )
    diary = Diary()
    for at, body in zip(minutes, bodies, strict=True):
        diary.say(at, body, area=draw(_AREAS), patch=draw(_PATCHES))
    for count in range(draw(st.integers(0, 6)) if corrections else 0):
        target = draw(st.integers(1, len(diary.events) + 2))
        body = draw(st.none() | _BODIES)
        moved = draw(st.none() | st.integers(0, 10_000).map(lambda number: number + 0.25))
        said = events.Corrected(
            event=f"event-{target:06d}",
            why="misread",
            body=body,
            at=None if moved is None else minute(moved + count / 100),
            area=draw(st.none() | _AREAS),
        )
        diary.say(draw(st.integers(0, 10_000)) + 0.5 + count / 100, said)
    return diary.events
