"""The lab's life has a name, so that devices notice when an older state was put back."""

from crustbreak.ports.clock import Clock, Dice
from crustbreak.ports.repository import Books, Writing


def begin_life(books: Books, clock: Clock, dice: Dice) -> str:
    """Give the name of the lab's present life; a lab that has none begins its first."""
    name = books.read(lambda reading: reading.incarnation())
    return name or begin_again(books, clock, dice, reason="begun")


def begin_again(books: Books, clock: Clock, dice: Dice, *, reason: str) -> str:
    """Begin a new life, because what the books hold may be less than what devices were told."""
    name = dice.secret()

    def work(writing: Writing) -> None:
        writing.add_incarnation(name, at=clock.now(), reason=reason)

    books.write(work)
    return name
