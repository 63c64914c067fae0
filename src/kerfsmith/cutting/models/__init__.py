"""Published models, one file each: small pure functions with formula, units, source and range."""
