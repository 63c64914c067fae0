"""Planning: work put in groups, each group's saw chosen and its bars laid, and the plan as a value."""
