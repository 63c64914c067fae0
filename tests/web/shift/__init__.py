"""A shift at the saw, over real records."""
