"""Files to rows and back, with Problems instead of surprises."""
