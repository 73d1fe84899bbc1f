"""Cards and sheets that are printed before a table."""
