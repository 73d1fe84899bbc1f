"""What the marks say about one question, one file a question."""
