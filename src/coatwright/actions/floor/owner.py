"""The owner's own page: a private link, what they are asked, and their yes or no with a name."""

import hashlib
import hmac
import os
import secrets
from dataclasses import dataclass
from pathlib import Path
from typing import Final

from coatwright.actions.money import Account, account, answer
from coatwright.actions.shop import Shop
from coatwright.errors import InputError, NotFound
from coatwright.record.account import ESTIMATE
from coatwright.record.events import Event
from coatwright.record.state import Extra
from coatwright.sentences import say

LENGTH: Final = 32
"""Letters of a link: 160 bits, not to be guessed."""


@dataclass(frozen=True)
class OwnersView:
    """What the owner sees of a job; number: the place in the record up to which it is told."""

    key: str
    title: str
    shop: str
    invented: bool
    account: Account
    estimate: Extra | None
    extras: tuple[Extra, ...]
    number: int


def link(shop: Shop, key: str) -> str:
    """The private part of the owner's address for a job; it stays as long as the shop's key."""
    shop.open(key)
    sign = hmac.new(_secret(shop.folder), key.encode(), hashlib.sha256).digest()
    return f"{key}.{sign.hex()[:LENGTH]}"


def job_of(shop: Shop, token: str) -> str:
    """The job a private link belongs to. Raises NotFound if it is none of ours."""
    key, _, _ = token.rpartition(".")
    if key in shop.jobs() and hmac.compare_digest(link(shop, key), token):
        return key
    raise NotFound(say("this link opens nothing"), instead=say("ask the workshop for a fresh one"))


def owners_view(shop: Shop, token: str) -> OwnersView:
    """What is asked and what it comes to."""
    key = job_of(shop, token)
    opened = shop.open(key)
    job, found = opened.bench.job, account(shop, key)
    return OwnersView(
        key, job.title, job.workshop.title, job.invented, found,
        opened.state.extras.get(ESTIMATE), found.extras, opened.state.number,
    )  # fmt: skip


def answered(shop: Shop, token: str, extra: str, yes: bool, name: str) -> Event:
    """Keep the owner's answer. Raises InputError without a name, NotFound for unknown work."""
    key = job_of(shop, token)
    if not name.strip():
        raise InputError(
            say("an answer needs a name"), field="name", instead=say("write your own name")
        )
    if extra not in shop.open(key).state.extras:
        raise NotFound(say("there is no work '{extra}' to answer", extra=extra))
    return answer(shop, key, extra, yes, name.strip()[:80], "through the owner's page")


def _secret(folder: Path) -> bytes:
    """The shop's own key, made once, readable by nobody else."""
    path = folder / "owner.key"
    if not path.exists():
        folder.mkdir(parents=True, exist_ok=True)
        try:
            handle = os.open(path, os.O_WRONLY | os.O_CREAT | os.O_EXCL, 0o600)
        except FileExistsError:
            return path.read_bytes()
        with os.fdopen(handle, "wb") as file:
            file.write(secrets.token_bytes(32))
    return path.read_bytes()
