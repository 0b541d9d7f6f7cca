"""The tables of the record. Rows of events and attachments are never changed nor taken out.

Moments are microseconds since 1970 in universal time, with the offset of the writer's clock [s].
"""

from sqlalchemy import (
    BigInteger,
    Column,
    Index,
    Integer,
    LargeBinary,
    MetaData,
    Table,
    Text,
    UniqueConstraint,
)

HEAD = "0001"
"""The migration that these tables are the result of."""

metadata = MetaData()

jobs = Table(
    "jobs",
    metadata,
    Column("job", Text, primary_key=True),
    Column("last", Integer, nullable=False, comment="number of its newest event"),
)

events = Table(
    "events",
    metadata,
    Column("job", Text, primary_key=True),
    Column("number", Integer, primary_key=True, autoincrement=False),
    Column("id", Text, nullable=False),
    Column("at", BigInteger, nullable=False),
    Column("at_offset", Integer, nullable=False),
    Column("noted", BigInteger, nullable=False),
    Column("who", Text, nullable=False),
    Column("area", Text, nullable=False),
    Column("patch", Text, nullable=False),
    Column("plan", Text, nullable=False),
    Column("kind", Text, nullable=False),
    Column("target", Text, comment="of a correction: the event that was wrong"),
    Column("evidence", Text, nullable=False, comment="JSON array of SHA-256"),
    Column("body", Text, nullable=False, comment="JSON"),
    UniqueConstraint("id", name="events_id"),
    Index("events_in_order", "job", "at", "number"),
    Index("events_kind", "job", "kind"),
    Index("events_target", "job", "target"),
)

attachments = Table(
    "attachments",
    metadata,
    Column("sha256", Text, primary_key=True),
    Column("name", Text, nullable=False, comment="as the file was called"),
    Column("size", BigInteger, nullable=False),
    Column("noted", BigInteger, nullable=False),
)

snapshots = Table(
    "snapshots",
    metadata,
    Column("job", Text, primary_key=True),
    Column("at", BigInteger, primary_key=True, autoincrement=False),
    Column("number", Integer, primary_key=True, autoincrement=False),
    Column("count", Integer, nullable=False, comment="events folded"),
    Column("fold", Text, nullable=False, comment="which version of the fold made it"),
    Column("state", LargeBinary, nullable=False),
)
