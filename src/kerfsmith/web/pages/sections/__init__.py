"""Sections of the standards, drawn to scale."""
