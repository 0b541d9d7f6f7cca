"""Nothing is lost: fluid sprayed = film on the shape + what bounces + what misses it."""

import math

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st

from coatwright.engines.spray.footprint import Fan
from coatwright.engines.spray.section import along_share, cut, missed_share, pass_shares
from coatwright.model.area import Open, Recess
from coatwright.model.shape import (
    ApertureRing,
    BoxSection,
    Channel,
    CurvedPanel,
    Flat,
    Strip,
    Tube,
)
from coatwright.planning.strokes.layouts import Subject, section_of

size = st.floats(0.02, 1.5)
shapes = st.one_of(
    st.builds(Flat, length=size, width=size),
    st.builds(Strip, length=size, width=st.floats(0.02, 0.15)),
    st.builds(Channel, length=size, width=st.floats(0.03, 0.3), depth=st.floats(0.02, 0.3)),
    st.builds(BoxSection, length=size, width=st.floats(0.02, 0.3), height=st.floats(0.02, 0.3)),
    st.builds(Tube, length=size, diameter=st.floats(0.01, 0.2)),
    st.builds(CurvedPanel, length=size, width=size, rise=st.floats(0.005, 0.1)),
    st.builds(ApertureRing, width=size, height=size, breadth=st.floats(0.02, 0.3)),
)
ways_in = st.one_of(
    st.just(Open()), st.builds(Recess, width=st.floats(0.03, 0.4), depth=st.floats(0.02, 0.3))
)
fans = st.builds(
    Fan,
    st.floats(0.02, 0.4),
    st.floats(0.01, 0.08),
    st.floats(1.0, 4.0),
    st.floats(1.0, 4.0),
    st.floats(0.1, 0.25),
)
strokes = st.tuples(st.floats(-0.6, 0.6), st.floats(0.05, 0.5), st.floats(-1.2, 1.2))


@given(shapes, ways_in, fans, strokes)
def test_every_pass_is_caught_or_missed(shape, access, fan, stroke) -> None:
    x, height, tilt = stroke
    gun = np.array([x, height, math.sin(tilt), -math.cos(tilt)])
    section = section_of(Subject(shape, access))
    caught = float(pass_shares(section, gun[None], fan)[:, 0] @ section.breadths)
    missed = missed_share(section, gun, fan)
    assert caught + missed == pytest.approx(1.0, rel=1e-9)


@given(
    fans,
    st.floats(0.0, 1.0),
    st.floats(0.1, 0.6),
    st.floats(0.3, 0.9),
    st.lists(st.floats(-0.4, 0.4), min_size=1, max_size=6),
    st.floats(0.0, 0.2),
)
def test_fluid_sprayed_is_film_plus_overspray_on_a_whole_panel(
    fan, flow_share, speed, transfer, places, overrun
) -> None:
    """Film on cells x area, plus bounce, plus misses past edges and ends = flow x time."""
    flow, length = 3e-6 * (0.2 + flow_share), 0.7
    section = cut(np.array([[-0.4, 0.0, 0.4, 0.0, 0.0, 1.0]]), 0.02)
    guns = np.array([[x, fan.distance, 0.0, -1.0] for x in places])
    shares = pass_shares(section, guns, fan)
    edges = np.linspace(0.0, length, 36)
    beyond = np.array([-2.0, 0.0]), np.array([length, length + 2.0])
    trigger = (-overrun, length + overrun)
    on_panel = off_ends = 0.0
    for index, place in enumerate((section.cells[:, 0] + section.cells[:, 2]) / 2):
        for stroke, x in enumerate(places):
            strip = flow / speed * shares[index, stroke] * section.breadths[index]
            lateral = float(np.clip(place - x, -fan.length / 2, fan.length / 2))
            full = along_share(fan, fan.distance, lateral, edges, trigger)
            on_panel += strip * float(full @ np.diff(edges))
            for outside in beyond:
                ends = along_share(fan, fan.distance, lateral, outside, trigger)
                off_ends += strip * float(ends @ np.diff(outside))
    time = len(places) * (length + 2 * overrun) / speed
    past_edges = sum(missed_share(section, gun, fan) for gun in guns)
    past_edges *= flow / speed * (length + 2 * overrun)
    film, bounce = transfer * on_panel, (1.0 - transfer) * on_panel
    assert film + bounce + off_ends + past_edges == pytest.approx(flow * time, rel=1e-9)
