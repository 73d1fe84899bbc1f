"""From a question and a list of coffees to a table."""
