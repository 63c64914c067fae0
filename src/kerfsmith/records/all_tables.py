"""All tables: who needs the whole schema takes its metadata here, where every module of tables is known."""

from kerfsmith.records import (
    answer_tables,
    fault_tables,
    floor_tables,
    hold_tables,
    learning_tables,
    own_tables,
    people_tables,
    price_tables,
    stop_tables,
    tables,
    week_tables,
)

MODULES = (
    tables,
    floor_tables,
    stop_tables,
    hold_tables,
    people_tables,
    price_tables,
    week_tables,
    fault_tables,
    learning_tables,
    answer_tables,
    own_tables,
)
metadata = tables.metadata
