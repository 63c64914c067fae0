"""Exact one-dimensional cutting stock by patterns (columns), in whole numbers."""

from kerfsmith.nesting.engines.columns.instance import (
    ColumnsInstance,
    ColumnsResult,
    Item,
    Kind,
    PatternUse,
)
from kerfsmith.nesting.engines.columns.solve import solve_columns

__all__ = ["ColumnsInstance", "ColumnsResult", "Item", "Kind", "PatternUse", "solve_columns"]
