"""What finds weeks: a quick search that always has one, proofs of how good one can be, and exact engines."""
