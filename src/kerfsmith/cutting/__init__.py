"""The cutting engine: which band, speed and feed take a section, how long, and what rules."""
