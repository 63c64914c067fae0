"""Tests of the web face."""
