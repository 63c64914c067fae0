"""The library: the catalog's tables in files, read into one Catalog."""
