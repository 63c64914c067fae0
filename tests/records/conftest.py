"""Every test of the records runs on both databases."""

from tests.records.databases import engine, store, url

__all__ = ["engine", "store", "url"]
