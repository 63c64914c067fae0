"""What work costs and what is asked for it; and what the same work would cost on other saws."""
