"""The same year of work on two or more saws: what each can cut, how long, how well and at what cost."""
