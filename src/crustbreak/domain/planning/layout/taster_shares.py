"""Which codes each taster tastes, where nobody tastes them all."""

from collections.abc import Sequence
from dataclasses import dataclass

from crustbreak.core.errors import Problem
from crustbreak.core.randomness import Chance
from crustbreak.domain.planning.layout.incomplete_blocks import Blocks, draw_blocks, efficiency
from crustbreak.domain.records.tasting_orders import Walk

# Of two alone a taster says which is the better one, and nothing of the rest.
LEAST_SHARE = 3


@dataclass(frozen=True, slots=True, kw_only=True)
class Evenness:
    """How evenly the codes are shared out.

    size:        codes that a taster tastes. codes: on the table.
    times:       fewest and most tasters of a code.
    together:    fewest and most tasters of any two codes.
    efficiency:  share of the information that as many tastings of all codes by all would give on
                 a difference of two, 0 to 1.
    """

    size: int
    codes: int
    times: tuple[int, int]
    together: tuple[int, int]
    efficiency: float


def check_share(share: int | None, *, codes: int, tasters: int) -> tuple[Problem, ...]:
    """Name what keeps codes from being shared out so; nothing where everybody tastes all."""
    if share is None or share == codes:
        return ()
    least = max(LEAST_SHARE, -(-codes // tasters))
    if least <= share < codes:
        return ()
    return (
        Problem(
            where="Codes each taster tastes",
            rule=f"{least} to {codes}, so that every one of {codes} codes is tasted",
            found=str(share),
            remedy="Give one of these, or leave it empty: then each tastes all.",
        ),
    )


def share_out(walks: Sequence[Walk], *, share: int, chance: Chance) -> tuple[Walk, ...]:
    """Let each taster go along some of the places only, in the same order as before.

    Any two places are tasted by about as many of the same tasters, and each place by as many
    tasters as another, or one more.

    Args:    walks: along all places. share: places that a taster tastes.
    Raises:  OutOfRange for a share that `check_share` refuses.
    """
    codes = len(walks[0].there)
    if share >= codes:
        return tuple(walks)
    blocks = draw_blocks(codes, blocks=len(walks), size=share, chance=chance)
    return tuple(
        Walk(
            there=tuple(place for place in walk.there if place in block),
            back=tuple(place for place in walk.back if place in block),
        )
        for walk, block in zip(walks, blocks.sets, strict=True)
    )


def evenness_of(walks: Sequence[Walk], *, codes: int) -> Evenness | None:
    """Tell how evenly codes are shared out; None where everybody tastes all.

    Args:  codes: places on the table.
    """
    if all(len(walk.there) == codes for walk in walks):
        return None
    blocks = Blocks(coffees=codes, sets=tuple(walk.there for walk in walks))
    times, together = blocks.times_tasted, blocks.times_together.values()
    return Evenness(
        size=max(len(walk.there) for walk in walks),
        codes=codes,
        times=(min(times), max(times)),
        together=(min(together), max(together)),
        efficiency=efficiency(blocks),
    )
