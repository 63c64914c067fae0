"""Cautions: what this program does not know and what can hurt someone."""
