"""Pages of one table while it runs."""
