"""Quotes: made, looked through line by line, accepted; and the rates they are reckoned at."""
