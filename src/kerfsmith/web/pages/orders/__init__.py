"""Orders: what is wanted, and how a cut list is taken."""
