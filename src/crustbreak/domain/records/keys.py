"""The key: which coffee stands under which code."""

from collections.abc import Mapping
from dataclasses import dataclass


@dataclass(frozen=True, slots=True, kw_only=True)
class Key:
    """Place to coffee, with the seed of the draw, which is as telling as the rest.

    coffee_of:  place id to coffee id.
    seed:       hex; the draw can be run again from it.
    """

    coffee_of: Mapping[str, str]
    seed: str
