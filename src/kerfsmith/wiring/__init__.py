"""Wiring: the only place where ports meet adapters. The doors call what stands here."""
