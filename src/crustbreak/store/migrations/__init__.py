"""Steps of the files, in one line a file; run by `migrating`, never imported."""
