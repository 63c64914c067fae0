"""Planning in progress."""
