"""Steps of the books, `lab.db`."""
