"""From the demo shop to one's own."""
