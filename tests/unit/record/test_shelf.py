"""The shelf over all jobs: bought less poured, by batch number and use-by date. All invented."""

from datetime import UTC, date, datetime, timedelta

import pytest

from coatwright.record.events import Bought, Counted, Mixed, said
from coatwright.record.fold import fold
from coatwright.record.shelf import Tin, shelf, usable

NOON = datetime(2026, 5, 4, 12, tzinfo=UTC)
TODAY = date(2026, 6, 1)


def told(job, *bodies):
    return fold(
        job,
        [said(job, "painter", NOON + timedelta(hours=i), body) for i, body in enumerate(bodies)],
    )


def bought(lot="A1", volume=1e-3, packs=2, expiry="2027-01-31", component="base"):
    return Bought(
        product="epoxy", component=component, volume=volume, packs=packs, price=60.0, lot=lot,
        expiry=expiry, density=1250.0,
    )  # fmt: skip


def poured(mass, lot="A1", name="m1"):
    return Mixed(mix=name, product="epoxy", parts={"base": mass}, lots={"base": lot})


def test_one_job_buys_and_another_pours():
    rows = shelf([told("shop", bought()), told("car", poured(0.5))])
    assert [row.tin for row in rows] == [Tin("epoxy", "base", "A1")]
    # 2 L bought; 0.5 kg at the 1250 kg/m3 of the tin is 0.4 L, whichever job knows the density.
    assert rows[0].left == pytest.approx(1.6e-3)
    assert rows[0].poured_unweighed == 0.0


def test_in_one_job_the_density_of_the_tin_counts():
    (row,) = shelf([told("car", bought(), poured(0.5), poured(0.25, name="m2"))])
    assert row.left == pytest.approx(2e-3 - 0.75 / 1250)
    assert row.value == pytest.approx(60.0 * row.left / 2e-3)


def test_what_spoils_first_comes_first_and_what_is_past_it_is_not_usable():
    state = told("shop", bought("B2"), bought("A1", expiry="2026-05"), bought("C3", expiry=""))
    rows = shelf([state])
    assert [row.tin.lot for row in rows] == ["A1", "B2", "C3"]
    assert rows[0].expired(TODAY)
    assert not rows[0].expired(date(2026, 5, 31))
    assert usable(rows, TODAY) == {("epoxy", "base"): pytest.approx(4e-3)}


def test_a_count_says_what_is_there():
    state = told(
        "shop", bought(), Counted(product="epoxy", component="base", lot="A1", volume=3e-4)
    )
    (row,) = shelf([state])
    assert row.left == pytest.approx(3e-4)


def test_more_poured_than_bought_is_told():
    (row,) = shelf([told("car", bought(packs=1), poured(2.5))])
    assert row.left == 0.0
    assert row.doubt == "1.00 L more was poured than is noted as bought"
    assert usable([row], TODAY) == {}


def test_poured_from_a_tin_of_unknown_density_is_told_apart():
    unknown = bought().model_copy(update={"density": None})
    (row,) = shelf([told("car", unknown, poured(0.5))])
    assert row.left == pytest.approx(2e-3)
    assert row.poured_unweighed == pytest.approx(0.5)
