"""What a table can tell: marks and numbers brought together."""
