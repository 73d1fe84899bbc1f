"""The host's app, on the laptop only."""
