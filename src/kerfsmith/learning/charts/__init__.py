"""Control charts, capability and run lengths."""
