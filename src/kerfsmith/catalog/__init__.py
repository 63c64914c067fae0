"""The catalog: grades, sections, bands and saw sheets, each figure with its source."""
