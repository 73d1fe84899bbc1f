"""Which code stands where, and in which order each taster goes round."""
