"""The schema's steps, oldest first."""
