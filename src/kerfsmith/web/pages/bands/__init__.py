"""Bands: what can be bought and what it is."""
