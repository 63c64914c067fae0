"""Alembic's entry: runs on the connection that `records.opening` hands over."""

from alembic import context

from kerfsmith.records.all_tables import metadata

context.configure(
    connection=context.config.attributes["connection"], target_metadata=metadata, render_as_batch=True
)
with context.begin_transaction():
    context.run_migrations()
