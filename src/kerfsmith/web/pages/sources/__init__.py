"""The bibliography."""
