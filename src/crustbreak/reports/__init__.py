"""Results to documents: one template a document."""
