"""Errors, units and chance: what every layer stands on, standard library only."""
