"""What must hold of the fold for any events: order of arrival, past moments, going on from one."""

from hypothesis import given
from hypothesis import strategies as st

from coatwright.record.corrections import standing
from coatwright.record.events import Corrected
from coatwright.record.fold import fold, resume
from coatwright.record.state import JobState
from happenings import JOB, START, minute, streams


@given(streams(), st.randoms())
def test_the_order_of_arrival_does_not_matter(stream, chance):
    mixed = list(stream)
    chance.shuffle(mixed)
    assert fold(JOB, mixed) == fold(JOB, stream)


@given(streams(), st.integers(-1, 10_001))
def test_going_on_from_a_past_moment_is_the_same_as_all_at_once(stream, at):
    past = fold(JOB, stream, minute(at))
    whole = fold(JOB, stream)
    assert resume(past, standing(stream)) == whole


@given(streams())
def test_one_event_at_a_time_is_the_same_as_all_at_once(stream):
    stood = standing(stream)
    state = JobState(JOB, max(event.number for event in stream))
    for event in stood.events:
        state = resume(state, stood._replace(events=[event]))
    assert resume(state, stood) == fold(JOB, stream)


@given(streams(), st.integers(-1, 10_001))
def test_a_past_moment_is_the_state_of_what_stands_up_to_it(stream, at):
    stood = standing(stream)
    held = [event for event in stood.events if event.at <= minute(at)]
    past = fold(JOB, stream, minute(at))
    alone = fold(JOB, held)
    assert past.areas == alone.areas
    assert past.misfits == alone.misfits
    assert past.events == len(held)


@given(streams(corrections=False), st.data())
def test_a_struck_event_never_was(stream, data):
    gone = data.draw(st.sampled_from(stream))
    why = Corrected(event=gone.id, why="it did not happen")
    strike = gone.model_copy(
        update={"id": "the-correction", "body": why, "number": len(stream) + 1, "at": START}
    )
    struck = fold(JOB, [*stream, strike])
    never = fold(JOB, [event for event in stream if event is not gone])
    assert struck.areas == never.areas
    assert struck.stock == never.stock
    assert struck.misfits == never.misfits


@given(streams())
def test_no_event_is_lost(stream):
    """Every coat that was begun or done lies somewhere, or was stripped off, or is in doubt."""
    state = fold(JOB, stream)
    kept = {coat.event for coat in state.sprayed()} | {one.place.event for one in state.misfits}
    for event in standing(stream).events:
        if event.body.kind == "coat begun":
            assert event.id in kept
    assert state.events == len(standing(stream).events)
