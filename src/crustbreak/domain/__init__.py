"""What could be done by hand at the table: frozen records and pure functions."""
