"""What people do, one verb a file."""
