"""The engine for a saw room's own rules: patterns that know the bar, rows that know the room."""
