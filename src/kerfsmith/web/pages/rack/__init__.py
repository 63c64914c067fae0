"""The rack: bars and remnants, drawn to scale."""
