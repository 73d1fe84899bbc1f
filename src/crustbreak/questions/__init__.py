"""What a table can be asked: one folder a question, known to wiring alone."""
