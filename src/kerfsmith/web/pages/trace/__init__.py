"""Trace: from a piece to its heat and certificate, and from a heat to every piece and customer."""
