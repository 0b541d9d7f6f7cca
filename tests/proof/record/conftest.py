"""Fixtures of the record."""

from databases import record, url  # noqa: F401
