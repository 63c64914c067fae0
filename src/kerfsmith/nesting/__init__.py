"""Which pieces come off which bars: the problem, its proven solution, and a referee that recounts it."""
