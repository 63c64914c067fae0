"""Alembic's entry: runs on the connection that `records.opening` hands over."""

from alembic import context

from kerfsmith.records import (
    fault_tables,
    floor_tables,
    learning_tables,
    people_tables,
    price_tables,
    week_tables,
)
from kerfsmith.records.tables import metadata

assert floor_tables.cuts.metadata is people_tables.people.metadata is price_tables.quotes.metadata is metadata
assert week_tables.weeks.metadata is fault_tables.faults.metadata is metadata
assert learning_tables.earlier_work.metadata is metadata

context.configure(
    connection=context.config.attributes["connection"], target_metadata=metadata, render_as_batch=True
)
with context.begin_transaction():
    context.run_migrations()
