"""The shop's own tables: files laid over those of the package."""
