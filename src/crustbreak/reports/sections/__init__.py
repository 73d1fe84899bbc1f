"""Parts that the documents of several questions share."""
