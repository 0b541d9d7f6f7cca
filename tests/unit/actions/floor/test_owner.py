"""The owner's link: private to one job, answers by name, nothing without one."""

from importlib.resources import files

import pytest

from coatwright.actions.floor import owner
from coatwright.actions.money import estimate_put
from coatwright.actions.shop import Shop
from coatwright.errors import InputError, NotFound
from coatwright.record.store.ledger import Record

TEXT = (files("coatwright") / "data" / "demo" / "practice-board.toml").read_text("utf-8")


@pytest.fixture
def shop(tmp_path):
    with Record(f"sqlite:///{tmp_path / 'record.db'}", tmp_path / "files") as record:
        made = Shop(record, tmp_path)
        made.take_in("board", TEXT, "painter")
        made.take_in("other.board", TEXT, "painter")
        yield made


def test_the_link_opens_its_own_job_and_no_other(shop):
    token = owner.link(shop, "board")
    assert owner.link(shop, "board") == token
    assert owner.job_of(shop, token) == "board"
    assert owner.job_of(shop, owner.link(shop, "other.board")) == "other.board"
    for wrong in (token[:-1] + "x", "other.board." + token.split(".")[1], "board", "", "x.y"):
        with pytest.raises(NotFound, match="this link opens nothing"):
            owner.job_of(shop, wrong)


def test_another_shop_has_other_links(shop, tmp_path):
    before = owner.link(shop, "board")
    (tmp_path / "owner.key").unlink()
    assert owner.link(shop, "board") != before
    assert (tmp_path / "owner.key").stat().st_mode & 0o077 == 0


def test_an_answer_is_kept_with_name_and_way(shop):
    token = owner.link(shop, "board")
    estimate_put(shop, "board", "painter")
    assert owner.owners_view(shop, token).estimate.status == "proposed"
    owner.answered(shop, token, "estimate", True, " the owner ")
    (decision,) = shop.open("board").state.extras["estimate"].decisions
    assert (decision.yes, decision.by, decision.how) == (
        True,
        "the owner",
        "through the owner's page",
    )
    owner.answered(shop, token, "estimate", False, "the owner")
    assert owner.owners_view(shop, token).estimate.status == "refused"


def test_no_name_no_answer(shop):
    token = owner.link(shop, "board")
    estimate_put(shop, "board", "painter")
    with pytest.raises(InputError, match="an answer needs a name"):
        owner.answered(shop, token, "estimate", True, "  ")
    with pytest.raises(NotFound, match="no work 'roof'"):
        owner.answered(shop, token, "roof", True, "the owner")
