"""Files from outside as values, and findings as tables: bytes in, values and findings out."""
