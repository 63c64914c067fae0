"""The manual inside the application."""
