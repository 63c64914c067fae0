"""Benchmarks of the cutting engine against a plain peer."""
