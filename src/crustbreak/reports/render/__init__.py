"""Blocks to bytes: a page, a PDF, a terminal."""
