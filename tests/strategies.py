"""Hypothesis strategies for the model: whatever a job file may say, plausible or not."""

from hypothesis import strategies as st

from coatwright.model import area, hand, job, kit, shape, substrate

KEYS = st.from_regex(r"[a-z0-9][a-z0-9-]{0,11}", fullmatch=True)
TEXTS = st.text(st.characters(exclude_categories=["Cs"]), max_size=40)
SIZES = st.floats(1e-3, 30.0)
SHARES = st.floats(0, 1)
CURRENCY = "GBP"


def distinct(parts, least=1, most=4):
    """Tuples of parts with keys of their own."""
    return st.lists(parts, min_size=least, max_size=most, unique_by=lambda part: part.key).map(
        tuple
    )


def ordered(low, high):
    return st.tuples(st.floats(low, high), st.floats(low, high)).map(sorted)


def money(*per):
    cents = st.integers(0, 10**7)
    return st.tuples(cents, st.sampled_from(per)).map(
        lambda made: f"{made[0] / 100:.2f} {CURRENCY}{'/' if made[1] else ''}{made[1]}"
    )


@st.composite
def rings(draw):
    width, height = draw(SIZES), draw(SIZES)
    corner = draw(SHARES) * min(width, height) / 2
    return shape.ApertureRing(width=width, height=height, corner=corner, breadth=draw(SIZES))


def shapes():
    """Any of the eight shapes, a millimetre to thirty metres."""
    return st.one_of(
        st.builds(shape.Flat, length=SIZES, width=SIZES),
        st.builds(shape.Strip, length=SIZES, width=SIZES),
        st.builds(shape.Channel, length=SIZES, width=SIZES, depth=SIZES),
        st.builds(shape.BoxSection, length=SIZES, width=SIZES, height=SIZES),
        st.builds(shape.Tube, length=SIZES, diameter=SIZES),
        st.builds(shape.CurvedPanel, length=SIZES, width=SIZES, rise=SIZES),
        st.builds(shape.Dome, diameter=SIZES, rise=SIZES),
        rings(),
    )


def layers():
    return st.builds(
        substrate.Layer,
        family=st.sampled_from(substrate.Family),
        film=st.none() | st.floats(0, 0.02),
        age=st.none() | st.floats(0, 3.2e9),
        cured=st.none() | st.booleans(),
        keyed=st.none() | st.sampled_from(["P80", "P320", "P5000"]),
        sound=st.none() | st.booleans(),
        product=st.none() | KEYS,
        outdoors=st.booleans(),
    )


def patches():
    return st.builds(
        substrate.Patch,
        key=KEYS,
        ground=st.sampled_from(substrate.Ground),
        layers=st.lists(layers(), max_size=3).map(tuple),
        prepared=st.none() | st.sampled_from(["P80", "P180", "P2500"]),
        degreased=st.booleans(),
        rust=st.booleans(),
        system=st.none() | st.lists(KEYS, max_size=4).map(tuple),
        note=TEXTS,
    )


@st.composite
def patch_sets(draw):
    made = draw(distinct(patches(), most=3))
    weights = draw(st.lists(st.integers(1, 100), min_size=len(made), max_size=len(made)))
    shares = [weight / sum(weights) for weight in weights]
    return tuple(
        patch.model_copy(update={"share": share}) for patch, share in zip(made, shares, strict=True)
    )


ACCESS = st.one_of(
    st.builds(area.Open),
    st.builds(area.Recess, width=SIZES, depth=SIZES),
    st.builds(area.Cavity),
)


@st.composite
def areas(draw, hands=()):
    measured = draw(shapes())
    return area.Area(
        key=draw(KEYS),
        title=draw(TEXTS),
        shape=measured,
        count=draw(st.integers(1, 500)),
        both_sides=draw(st.booleans()),
        holes=min(1000.0, draw(st.floats(0, 0.99)) * measured.area()),
        orientation=draw(st.sampled_from(["floor", "vertical", "overhead"])),
        zone=draw(st.sampled_from(["outside", "inside", "underside", "cavity"])),
        access=draw(ACCESS),
        finish=draw(st.sampled_from(["show", "good", "plain"])),
        hand=draw(st.none() | st.sampled_from(hands)) if hands else None,
        patches=draw(patch_sets()),
        note=draw(TEXTS),
    )


@st.composite
def footprints(draw):
    width, length = draw(ordered(1e-3, 1.0))
    return kit.Footprint(
        distance=draw(SIZES),
        length=length,
        width=width,
        spot=draw(st.floats(1e-4, 1)) * length,
        across=draw(st.floats(1, 8)),
        along=draw(st.floats(1, 8)),
    )


@st.composite
def guns(draw):
    pressures, distances = draw(ordered(0, 2e6)), draw(ordered(0.01, 1))
    return kit.Gun(
        key=draw(KEYS),
        title=draw(TEXTS),
        nozzle=draw(st.floats(1e-4, 0.01)),
        kind=draw(st.sampled_from(["hvlp", "high-transfer", "low-volume", "conventional", "spot"])),
        cup=draw(st.floats(1e-5, 0.01)),
        footprint=draw(footprints()),
        fluid=draw(st.floats(0, 1e-3)),
        fluid_pressure=draw(st.floats(0, 2e6)),
        fluid_viscosity_seconds=draw(st.floats(0, 1000)),
        air=draw(st.floats(0, 1)),
        pressure_min=pressures[0],
        pressure_max=pressures[1],
        distance_min=distances[0],
        distance_max=distances[1],
        transfer=draw(SHARES),
        transfer_spread=draw(SHARES),
        head=draw(SIZES),
        residue=draw(st.floats(0, 1e-3)),
    )


@st.composite
def hands(draw):
    slow, fast = draw(ordered(0.01, 3))
    return hand.Hand(
        key=draw(KEYS),
        title=draw(TEXTS),
        speed_spread=draw(SHARES),
        distance_spread=draw(SHARES),
        tilt_spread=draw(st.floats(0, 1.5)),
        aim_spread=draw(st.floats(0, 1)),
        speed_min=slow,
        speed_max=fast,
        reach=draw(SIZES),
        turn=draw(st.floats(0, 100)),
        source=draw(TEXTS),
    )


@st.composite
def compressors(draw):
    low, high = draw(ordered(0, 2e6))
    return kit.Compressor(
        delivery=draw(st.floats(0, 1)),
        receiver=draw(st.floats(1e-3, 10)),
        cut_in=low,
        cut_out=high,
        delivery_at=draw(st.none() | st.floats(0, 2e6)),
        duty=draw(st.floats(0.01, 1)),
        clearance=draw(st.floats(0, 0.05)),
        others=draw(st.floats(0, 1)),
    )


def hoses():
    return st.builds(
        kit.Hose,
        length=SIZES,
        bore=st.floats(1e-3, 0.1),
        friction=st.floats(0.5, 10),
        couplings=st.integers(0, 6),
        coupling_flow=st.floats(1e-6, 1),
    )


def rates():
    return st.builds(
        kit.Rates,
        labour=money("h"),
        consumables=st.dictionaries(TEXTS, money("", "m2", "coat", "mix", "h", "L"), max_size=3),
        tax=SHARES,
    )


def workshops():
    return st.builds(
        kit.Workshop,
        title=TEXTS,
        invented=st.booleans(),
        currency=st.just(CURRENCY),
        voc_region=st.sampled_from(["EU", "US"]),
        climate=st.builds(
            kit.Climate,
            air=st.floats(223.15, 623.15),
            metal=st.none() | st.floats(223.15, 623.15),
            humidity=SHARES,
        ),
        guns=distinct(guns(), most=3),
        compressor=st.none() | compressors(),
        filter=st.builds(kit.Filter, flow=st.floats(1e-6, 1), bowl=st.floats(1e-6, 1)),
        regulator=st.builds(
            kit.Regulator, place=st.sampled_from(["wall", "gun"]), flow=st.floats(1e-6, 1)
        ),
        hose=st.none() | hoses(),
        scale=st.builds(kit.Scale, resolution=st.floats(1e-6, 1), capacity=st.floats(0.01, 1000)),
        mixing_cup=st.floats(1e-6, 10),
        rates=rates(),
        sheets=st.none() | TEXTS,
    )


@st.composite
def jobs(draw):
    """A whole job, with every field set to something it allows."""
    people = draw(distinct(hands(), most=2))
    keys = [person.key for person in people]
    return job.Job(
        title=draw(TEXTS),
        invented=draw(st.booleans()),
        owner=draw(TEXTS),
        workshop=draw(workshops()),
        hands=people,
        painter=draw(st.sampled_from(keys)),
        bounds=draw(st.builds(job.Bounds, run_chance=SHARES, light_chance=SHARES)),
        colour=draw(TEXTS),
        topcoat=draw(st.lists(KEYS, max_size=3).map(tuple)),
        metal_waits=draw(st.booleans()),
        areas=draw(distinct(areas(keys), most=3)),
    )
