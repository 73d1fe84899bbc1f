"""What the lab does: one verb a function, through the ports alone."""
