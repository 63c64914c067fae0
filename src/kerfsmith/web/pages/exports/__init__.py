"""Exports: what leaves the shop as a table, for a spreadsheet or another program."""
