"""Pages on which a table is planned."""
