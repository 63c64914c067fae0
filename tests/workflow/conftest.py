"""Every verb is tried on both databases."""

from tests.records.databases import engine, store, url

__all__ = ["engine", "store", "url"]
