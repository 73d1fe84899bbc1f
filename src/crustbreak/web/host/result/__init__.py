"""Pages on which a table is decided."""
