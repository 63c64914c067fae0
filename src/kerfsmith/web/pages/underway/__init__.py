"""What is being reckoned beside a request."""
