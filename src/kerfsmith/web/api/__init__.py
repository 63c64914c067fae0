"""The API beside the pages: the same verbs, as JSON."""
