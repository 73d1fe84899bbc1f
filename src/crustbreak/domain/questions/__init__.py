"""What a table can be asked: one file a question, its data and plan defaults."""
