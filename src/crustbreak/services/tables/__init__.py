"""A table while it is set, run, called and uncovered."""
