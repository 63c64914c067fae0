"""What the cut log taught, and what a person decides of it."""
