"""The command line: one door to the same verbs as the pages."""
