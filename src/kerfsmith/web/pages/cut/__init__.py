"""One cut: ask for a grade and a section, see the setting and every reason."""
