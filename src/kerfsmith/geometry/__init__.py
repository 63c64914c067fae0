"""Sections as exact outlines of lines and arcs, and what a band meets in them at each depth."""
