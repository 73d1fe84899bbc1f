"""The phones' app, on the local network."""
