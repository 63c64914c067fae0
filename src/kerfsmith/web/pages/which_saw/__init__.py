"""Which saw: a year of work replayed on several saws, set side by side."""
