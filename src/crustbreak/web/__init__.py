"""Two apps: the host's on the laptop, the floor's for the phones."""
