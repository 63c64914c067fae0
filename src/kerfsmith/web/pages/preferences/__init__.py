"""Measure and light, chosen with one touch."""
