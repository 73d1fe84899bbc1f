"""The nouns of the lab, one file a subject."""
