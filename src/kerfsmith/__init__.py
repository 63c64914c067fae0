"""Kerfsmith: planning, cutting and records for a production bandsaw room."""
