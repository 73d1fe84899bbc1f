"""What is scored: definitions, and the score they give."""
