"""Phones and helpers: how they join, what they send, when they were heard."""
