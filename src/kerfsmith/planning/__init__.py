"""Planning: work put in groups, each group's saw and setting chosen, its bars laid, and the plan as a value."""
