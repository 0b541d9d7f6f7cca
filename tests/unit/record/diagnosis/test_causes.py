"""The ranking: Bayes by hand, the worth of a check against a general library."""

import random
from datetime import UTC, datetime, timedelta

import pytest
from hypothesis import given
from hypothesis import strategies as st
from scipy import stats

from coatwright.errors import NotFound
from coatwright.record import events as ev
from coatwright.record.diagnosis.causes import diagnose, entropy, information
from coatwright.record.diagnosis.story import tell
from histories.faults import FAULTS, Case
from histories.sets import PATHOLOGY, in_bounds, planted

START = datetime(2026, 5, 4, 8, 0, tzinfo=UTC)


def test_doubt_is_the_entropy_of_scipy():
    shares = [0.5, 0.2, 0.2, 0.1]
    assert entropy(shares) == pytest.approx(stats.entropy(shares))


@given(st.integers(0, 10_000))
def test_the_worth_of_a_check_is_the_mutual_information(seed):
    """I(cause; answer) = H(cause) + H(answer) - H(both), each by scipy.stats.entropy."""
    rng = random.Random(seed)
    raw = [rng.random() + 0.01 for _ in range(4)]
    chances = {f"c{number}": one / sum(raw) for number, one in enumerate(raw[:3])}
    rest = 1.0 - sum(chances.values())
    yes, usual = {key: rng.uniform(0.02, 0.98) for key in chances}, rng.uniform(0.02, 0.98)
    rows = [*((chances[key], yes[key]) for key in chances), (rest, usual)]
    both = [part for share, said in rows for part in (share * said, share * (1.0 - said))]
    likely = sum(share * said for share, said in rows)
    expected = (
        stats.entropy([share for share, _ in rows])
        + stats.entropy([likely, 1.0 - likely])
        - stats.entropy(both)
    )
    assert information(chances, yes, usual) == pytest.approx(max(expected, 0.0), abs=1e-9)


def test_a_check_that_tells_nothing_is_worth_nothing():
    assert information({"a": 0.5, "b": 0.3}, {"a": 0.4, "b": 0.4}, 0.4) == pytest.approx(0.0)


def silent(defect):
    """The answer for a record that holds one coat and nothing else."""
    body = ev.CoatBegun(product="colour", coat=1)
    story = tell([ev.said("job", "Ivo", START, body, "door")], "door", "", START)
    return diagnose(story, PATHOLOGY.defects[defect], PATHOLOGY)


def test_without_a_record_the_priors_stand():
    """Striping has four causes of prior 2, and something else as much: one fifth each."""
    told = silent("striping")
    assert [one.chance.value for one in told.causes] == pytest.approx([0.2] * 4)
    assert told.otherwise.value == pytest.approx(0.2)
    assert (told.explained, told.blamed) == (False, ())


def test_one_answer_moves_the_odds_by_its_ratio():
    """Fan: 0.93 where to blame, 0.08 otherwise, believed to 0.98.

    By hand (0.93 x 0.98 + 0.07 x 0.02) / (0.08 x 0.98 + 0.92 x 0.02) = 0.9128 / 0.0968 = 9.43;
    against three others and something else at 1 each: 9.43 / 13.43.
    """
    body = ev.CoatBegun(product="colour", coat=1)
    story = tell([ev.said("job", "Ivo", START, body, "door")], "door", "", START)
    told = diagnose(story, PATHOLOGY.defects["striping"], PATHOLOGY, answers={"fan-split": True})
    worth = 0.9128 / 0.0968
    assert told.causes[0].cause.key == "fan"
    assert told.causes[0].chance.value == pytest.approx(worth / (worth + 4.0))
    assert told.causes[0].blamed


def test_shares_sum_to_one():
    for history in in_bounds(5, seed=3):
        told = history.diagnosed()
        total = sum(one.chance.value for one in told.causes) + told.otherwise.value
        assert total == pytest.approx(1.0)


@pytest.mark.parametrize("defect", sorted(PATHOLOGY.defects))
def test_no_cause_comes_above_one_half_without_a_broken_bound(defect):
    told = silent(defect)
    assert max(one.chance.value for one in told.causes) <= 0.5
    assert told.blamed == ()
    assert told.checks


def test_evidence_holds_its_figures_and_its_time():
    case = Case("runs", "flash")
    told = planted(case, FAULTS[case], 2).diagnosed()
    [sign] = told.causes[0].speaks_for
    assert sign.sign.key == "flash-short"
    assert sign.value.purpose == sign.bound.purpose == "time"
    assert sign.value.value < sign.bound.value == 600.0
    assert sign.place == "solid, coat 2"
    assert START < sign.at < START + timedelta(days=9)


def test_no_time_is_told_as_less_than_nothing():
    """A minute, read to a minute and a half: the 10 % point would be below nothing."""
    case = Case("runs", "flash")
    history = planted(case, FAULTS[case], 2)
    begun = [one for one in history.events if one.body.kind == "coat begun"]
    done = [one for one in history.events if one.body.kind == "coat done"]
    at = done[-2].at + timedelta(minutes=1)
    events = [one.model_copy(update={"at": at}) if one.id == begun[-1].id else one
              for one in history.events]  # fmt: skip
    [sign] = history._replace(events=events).diagnosed().causes[0].speaks_for
    assert sign.value.value == pytest.approx(60.0)
    assert sign.value.spread[0] == 0.0


def test_ratings_do_not_depend_on_the_order_of_events():
    case = Case("bloom", "dew")
    history = planted(case, FAULTS[case], 2)
    turned = history._replace(events=[*reversed(history.events[:-1]), history.events[-1]])
    assert turned.diagnosed() == history.diagnosed()


def test_no_coat_on_record():
    story = tell([], "door", "", START)
    with pytest.raises(NotFound) as fault:
        diagnose(story, PATHOLOGY.defects["runs"], PATHOLOGY)
    assert fault.value.sentence == (
        "no coat is on record for 'door'; record the coats that were laid"
    )


@given(st.integers(0, 10_000))
def test_any_part_of_a_record_can_be_asked(seed):
    """Events left out at random, fields too: an answer all the same, and shares that sum to one."""
    rng = random.Random(seed)
    case = rng.choice(sorted(FAULTS))
    events = planted(case, FAULTS[case], seed).events
    kept = [_thinned(one, rng) for one in events if rng.random() < 0.6]
    story = tell(kept, "door", rng.choice(("", "skin")), events[-1].at)
    if not story.layers:
        return
    for defect in PATHOLOGY.defects.values():
        told = diagnose(story, defect, PATHOLOGY, rng.choice(("", "solid", "epoxy")))
        total = sum(one.chance.value for one in told.causes) + told.otherwise.value
        assert total == pytest.approx(1.0)


def _thinned(event, rng):
    """The event with some of its optional fields left out, those of the plan too."""
    body = event.body
    bare = {name for name, field in type(body).model_fields.items() if field.default is None}
    lost = {name: None for name in bare if rng.random() < 0.3}
    if body.kind == "coat begun" and body.planned and "planned" not in lost:
        optional = [
            name for name, field in ev.Planned.model_fields.items() if field.default is None
        ]
        gone = {name: None for name in optional if rng.random() < 0.3}
        lost["planned"] = body.planned.model_copy(update=gone)
    return event.model_copy(update={"body": body.model_copy(update=lost)})
