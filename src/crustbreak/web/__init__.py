"""Two apps: the host's on the laptop, the other for the phones."""
