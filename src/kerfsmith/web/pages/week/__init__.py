"""The week: who saws what when."""
