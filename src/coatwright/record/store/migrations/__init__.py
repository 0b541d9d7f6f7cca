"""How the tables came to be what they are, step by step (Alembic)."""

from importlib.resources import as_file, files

from alembic import command
from alembic.config import Config
from sqlalchemy import Connection

from coatwright.errors import StoreError
from coatwright.record.store.tables import HEAD


def upgrade(connection: Connection, to: str = "head") -> None:
    """Run the migrations that this database has not seen, within the caller's transaction."""
    from alembic.util import CommandError

    with as_file(files(__package__)) as folder:
        config = Config()
        config.set_main_option("script_location", str(folder).replace("%", "%%"))
        config.set_main_option("path_separator", "os")
        config.attributes["connection"] = connection
        try:
            command.upgrade(config, to)
        except CommandError as fault:
            raise StoreError(
                f"the record was written by a newer Coatwright than this one: {fault}",
                instead=f"this one knows its tables up to {HEAD}; install the newer one",
            ) from fault
