"""Which codes each taster tastes, where nobody tastes them all."""

from collections.abc import Sequence
from dataclasses import dataclass

from crustbreak.core.errors import Problem
from crustbreak.core.randomness import SeededRandom
from crustbreak.domain.planning.layout.incomplete_blocks import Blocks, draw_blocks, efficiency
from crustbreak.domain.records.tasting_orders import TastingOrder

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


def share_out(
    tasting_orders: Sequence[TastingOrder], *, share: int, chance: SeededRandom
) -> tuple[TastingOrder, ...]:
    """Let each taster go along some of the places only, in the same order as before.

    Any two places are tasted by about as many of the same tasters, and each place by as many
    tasters as another, or one more.

    Args:    tasting_orders: along all places. share: places that a taster tastes.
    Raises:  OutOfRange for a share that `check_share` refuses.
    """
    codes = len(tasting_orders[0].there)
    if share >= codes:
        return tuple(tasting_orders)
    blocks = draw_blocks(codes, blocks=len(tasting_orders), size=share, chance=chance)
    return tuple(
        TastingOrder(
            there=tuple(place for place in tasting_order.there if place in block),
            back=tuple(place for place in tasting_order.back if place in block),
        )
        for tasting_order, block in zip(tasting_orders, blocks.sets, strict=True)
    )


def evenness_of(tasting_orders: Sequence[TastingOrder], *, codes: int) -> Evenness | None:
    """Return how evenly codes are shared out; None where everybody tastes all.

    Args:  codes: places on the table.
    """
    if all(len(tasting_order.there) == codes for tasting_order in tasting_orders):
        return None
    blocks = Blocks(
        coffees=codes, sets=tuple(tasting_order.there for tasting_order in tasting_orders)
    )
    times, together = blocks.times_tasted, blocks.times_together.values()
    return Evenness(
        size=max(len(tasting_order.there) for tasting_order in tasting_orders),
        codes=codes,
        times=(min(times), max(times)),
        together=(min(together), max(together)),
        efficiency=efficiency(blocks),
    )
