"""Events, attachments and snapshots; nothing that happened can be changed or taken out."""

import sqlalchemy as sa
from alembic import op

revision = "0001"
down_revision = None
branch_labels = None
depends_on = None

_KEPT = ("events", "attachments")
_REFUSAL = "the record only grows: correct an event with another one"


def upgrade() -> None:
    """Make the tables and their guards."""
    _tables()
    if op.get_bind().dialect.name == "sqlite":
        _guard_sqlite()
    else:
        _guard_postgresql()


def _tables() -> None:
    op.create_table(
        "jobs",
        sa.Column("job", sa.Text, primary_key=True),
        sa.Column("last", sa.Integer, nullable=False, comment="number of its newest event"),
    )
    op.create_table(
        "events",
        sa.Column("job", sa.Text, primary_key=True),
        sa.Column("number", sa.Integer, primary_key=True, autoincrement=False),
        sa.Column("id", sa.Text, nullable=False),
        sa.Column("at", sa.BigInteger, nullable=False),
        sa.Column("at_offset", sa.Integer, nullable=False),
        sa.Column("noted", sa.BigInteger, nullable=False),
        sa.Column("who", sa.Text, nullable=False),
        sa.Column("area", sa.Text, nullable=False),
        sa.Column("patch", sa.Text, nullable=False),
        sa.Column("plan", sa.Text, nullable=False),
        sa.Column("kind", sa.Text, nullable=False),
        sa.Column("target", sa.Text, comment="of a correction: the event that was wrong"),
        sa.Column("evidence", sa.Text, nullable=False, comment="JSON array of SHA-256"),
        sa.Column("body", sa.Text, nullable=False, comment="JSON"),
        sa.UniqueConstraint("id", name="events_id"),
    )
    op.create_index("events_in_order", "events", ["job", "at", "number"])
    op.create_index("events_kind", "events", ["job", "kind"])
    op.create_index("events_target", "events", ["job", "target"])
    op.create_table(
        "attachments",
        sa.Column("sha256", sa.Text, primary_key=True),
        sa.Column("name", sa.Text, nullable=False, comment="as the file was called"),
        sa.Column("size", sa.BigInteger, nullable=False),
        sa.Column("noted", sa.BigInteger, nullable=False),
    )
    op.create_table(
        "snapshots",
        sa.Column("job", sa.Text, primary_key=True),
        sa.Column("at", sa.BigInteger, primary_key=True, autoincrement=False),
        sa.Column("number", sa.Integer, primary_key=True, autoincrement=False),
        sa.Column("count", sa.Integer, nullable=False, comment="events folded"),
        sa.Column("fold", sa.Text, nullable=False, comment="which version of the fold made it"),
        sa.Column("state", sa.LargeBinary, nullable=False),
    )


def _guard_sqlite() -> None:
    for table in _KEPT:
        for act in ("UPDATE", "DELETE"):
            op.execute(
                f"CREATE TRIGGER {table}_no_{act.lower()} BEFORE {act} ON {table} "
                f"BEGIN SELECT RAISE(ABORT, '{_REFUSAL}'); END"
            )
    # INSERT OR REPLACE takes rows out without a word to the trigger for DELETE.
    op.execute(
        "CREATE TRIGGER events_no_replace BEFORE INSERT ON events "
        "WHEN EXISTS (SELECT 1 FROM events WHERE id = NEW.id "
        "OR (job = NEW.job AND number = NEW.number)) "
        f"BEGIN SELECT RAISE(ABORT, '{_REFUSAL}'); END"
    )
    op.execute(
        "CREATE TRIGGER attachments_no_replace BEFORE INSERT ON attachments "
        "WHEN EXISTS (SELECT 1 FROM attachments WHERE sha256 = NEW.sha256) "
        f"BEGIN SELECT RAISE(ABORT, '{_REFUSAL}'); END"
    )


def _guard_postgresql() -> None:
    op.execute(
        "CREATE FUNCTION record_only_grows() RETURNS trigger LANGUAGE plpgsql AS "
        f"$$ BEGIN RAISE EXCEPTION '{_REFUSAL}'; END $$"
    )
    for table in _KEPT:
        op.execute(
            f"CREATE TRIGGER {table}_only_grows BEFORE UPDATE OR DELETE OR TRUNCATE ON {table} "
            "FOR EACH STATEMENT EXECUTE FUNCTION record_only_grows()"
        )
