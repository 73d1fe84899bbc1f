"""Pages of what the lab settles once."""
