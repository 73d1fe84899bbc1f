"""Three-digit codes that tell nothing."""

from crustbreak.core.errors import OutOfRange
from crustbreak.core.randomness import SeededRandom

MOST_CODES = 60


def draw_codes(count: int, chance: SeededRandom) -> tuple[str, ...]:
    """Draw codes that cannot be taken for a rank or for each other.

    Three different digits, no leading nought, no run such as 123 or 987, and any two codes
    differ in at least two places, so that one wet digit is no mix-up. The first digits differ
    as long as there are digits.

    Args:    count: 1 to 60.
    Raises:  OutOfRange outside.
    """
    if not 1 <= count <= MOST_CODES:
        raise OutOfRange(
            f"{count} codes cannot be drawn that stay apart.",
            hint=f"Put at most {MOST_CODES} codes on a table.",
        )
    drawn: list[str] = []
    deck = chance.shuffled(_plain_codes())
    while len(drawn) < count:
        begun = {code[0] for code in drawn}
        fresh = next((code for code in deck if code[0] not in begun), deck[0])
        drawn.append(fresh)
        deck = tuple(code for code in deck if _apart(code, fresh))
    return tuple(drawn)


def _plain_codes() -> tuple[str, ...]:
    codes = (f"{number}" for number in range(100, 1000))
    return tuple(code for code in codes if len(set(code)) == 3 and not _is_run(code))


def _is_run(code: str) -> bool:
    first, second, third = (int(digit) for digit in code)
    return second - first == third - second and abs(second - first) == 1


def _apart(code: str, other: str) -> bool:
    return sum(a != b for a, b in zip(code, other, strict=True)) >= 2
