"""How long a table takes to taste, between too hot and too cold."""

from crustbreak.core.units import SECONDS_A_MINUTE

# A cup in a round, s; writing a coffee in a round on the ten-line sheet and for a release check,
# s; from too hot to too cold, min: common practice, no source.
CUP_S = 8
WRITING_S = 25
RELEASE_WRITING_S = 7
WINDOW_MIN = 20


def tasting_s(*, coffees: int, bowls: int, rounds: int, writing_s: float) -> float:
    """Return the time that one taster needs for all rounds.

        rounds x (bowls x 8 s + coffees x writing)

    Tasters go round at the same time, so their number does not count. The pours' own spread is
    not taken off: who starts at the bowl poured first keeps ahead of it.

    Args:     coffees: codes that are written down. bowls: bowls tasted in a round.
              writing_s: a coffee in a round, s.
    Returns:  s.
    Source:   common practice, no source.

    >>> tasting_s(coffees=6, bowls=30, rounds=3, writing_s=WRITING_S)
    1170
    """
    return rounds * (bowls * CUP_S + coffees * writing_s)


def bowls_in_time(codes: int, choices: tuple[int, ...], *, rounds: int) -> int:
    """Return the most bowls a code that can be tasted while they are neither too hot nor too cold.

    Args:     codes: on the table, controls and double among them. choices: bowls a code, the most
              first, at least one.
    Returns:  one of the choices; the last where not even that can be tasted in time.

    >>> [bowls_in_time(codes, (5, 3, 1), rounds=3) for codes in (6, 7, 8, 9, 12, 14)]
    [5, 3, 3, 1, 1, 1]
    """
    for bowls in choices:
        needed = tasting_s(coffees=codes, bowls=codes * bowls, rounds=rounds, writing_s=WRITING_S)
        if needed <= WINDOW_MIN * SECONDS_A_MINUTE:
            return bowls
    return choices[-1]
