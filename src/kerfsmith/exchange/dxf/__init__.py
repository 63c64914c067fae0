"""Drawn sections: a DXF file of closed outlines as a section that can be ordered, stocked and cut."""
