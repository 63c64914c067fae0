"""Signing in at a desk or a panel, and the gate that asks who comes."""
