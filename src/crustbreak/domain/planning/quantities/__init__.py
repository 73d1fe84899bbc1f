"""Coffee, water and bowls that a table takes."""
