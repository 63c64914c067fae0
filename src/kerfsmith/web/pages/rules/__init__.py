"""What the shop decides for itself, looked at and set."""
