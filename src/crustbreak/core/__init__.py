"""Errors, units and chance: what every floor stands on, standard library only."""
