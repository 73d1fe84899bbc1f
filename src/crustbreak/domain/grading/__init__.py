"""What is measured of green coffee, beside what is tasted."""
