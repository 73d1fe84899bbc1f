"""Steps of the key box, `keys.db`."""
