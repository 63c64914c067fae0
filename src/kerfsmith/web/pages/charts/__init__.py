"""Control charts: what moved, since when, and what else changed then."""
