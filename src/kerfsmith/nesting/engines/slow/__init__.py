"""The slow engine: tries every plan there is and lets the referee judge it. For problems of a few pieces."""
