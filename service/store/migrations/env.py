"""Run by Alembic; the connection is handed in by service.store, transaction and all."""

from alembic import context

from models.records import Row

context.configure(
    connection=context.config.attributes["connection"],
    target_metadata=Row.metadata,
    render_as_batch=True,
    compare_type=True,
    compare_server_default=True,
)
with context.begin_transaction():
    context.run_migrations()
