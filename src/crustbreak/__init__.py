"""Crustbreak plans a tasting table, runs it blind, and says what it can tell."""

__version__ = "0.1.0"
