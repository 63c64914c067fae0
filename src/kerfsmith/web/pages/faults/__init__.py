"""Faults: what is wrong at a saw, what to check first, and what it turned out to be."""
