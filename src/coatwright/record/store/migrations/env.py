"""What Alembic runs: the migrations, on the connection it is handed."""

from alembic import context

from coatwright.record.store.tables import metadata

context.configure(
    connection=context.config.attributes["connection"],
    target_metadata=metadata,
    transactional_ddl=True,
)
with context.begin_transaction():
    context.run_migrations()
