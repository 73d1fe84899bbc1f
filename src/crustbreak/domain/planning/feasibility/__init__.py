"""What stands in the way of a table as planned, and what would fix it."""
