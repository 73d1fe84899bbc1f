"""SQLite: one writer, read-only readers, the key in a file of its own."""
