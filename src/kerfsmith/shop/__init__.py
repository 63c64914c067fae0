"""The shop's own things: orders, heats, bars, remnants, bands, plans, runs."""
