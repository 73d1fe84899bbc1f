"""Phones take seats."""

from dataclasses import dataclass
from hashlib import sha256

from crustbreak.domain.records.tables import Seat, Table
from crustbreak.footing.errors import NotNow, NotThere
from crustbreak.ports.books import Joining, Reading, Writing
from crustbreak.ports.lab import Lab


@dataclass(frozen=True, slots=True, kw_only=True)
class Invitation:
    """What a device sees before it has a seat: the tasters' names and which seats are taken."""

    table: Table
    asks: str
    taken: frozenset[str]


@dataclass(frozen=True, slots=True, kw_only=True)
class Seated:
    """A device at its seat."""

    table: Table
    seat: Seat
    grip: int


def read_invitation(lab: Lab, token: str) -> Invitation:
    """Give the table of an invitation; NotThere when it is none of ours."""

    def ask(books: Reading) -> Invitation:
        table = books.invited(token)
        return Invitation(
            table=table,
            asks=lab.kit(table.question).question.asks,
            taken=frozenset(joining.seat_id for joining in books.joinings(table.id)),
        )

    return lab.books.read(ask)


def take_seat(lab: Lab, token: str, seat_id: str, secret: str) -> Seated:
    """Take a free seat.

    The device makes its secret and says it with the wish, so that a wish whose answer was lost
    on the way can be said again: the same device gets the same seat.

    Args:    secret: 128 random bits of the device's, kept here only as a hash.
    Raises:  NotThere for a wrong invitation or seat; NotNow for a seat that is taken, or a
             device that sits elsewhere.
    """
    mine = hash_secret(secret)

    def work(books: Writing) -> Seated:
        table = books.invited(token)
        seat = _seat(table, seat_id)
        for joining in books.joinings(table.id):
            if joining.secret_hash == mine and joining.seat_id == seat.id:
                return Seated(table=table, seat=seat, grip=joining.grip)
            if joining.secret_hash == mine:
                raise NotNow(
                    f"This phone already sits as {_seat(table, joining.seat_id).taster}.",
                    hint="Go on under that name.",
                )
            if joining.seat_id == seat.id:
                raise NotNow(
                    f"{seat.taster} already has a phone at this table.",
                    hint="Choose your own name, or use the phone that joined.",
                )
        books.add_joining(
            Joining(
                table_id=table.id,
                seat_id=seat.id,
                grip=1,
                secret_hash=mine,
                joined_at=lab.clock.now(),
            )
        )
        return Seated(table=table, seat=seat, grip=1)

    return lab.books.write(work)


def recognise(lab: Lab, secret: str) -> Seated:
    """Give the seat of a device by its secret; NotYours when nobody has it."""

    def ask(books: Reading) -> Seated:
        joining = books.joining(hash_secret(secret))
        table = books.table(joining.table_id)
        return Seated(table=table, seat=_seat(table, joining.seat_id), grip=joining.grip)

    return lab.books.read(ask)


def hash_secret(secret: str) -> str:
    """Give what is kept of a secret; 128 random bits need no salt and no slow hash."""
    return sha256(secret.encode("utf-8", "replace")).hexdigest()


def _seat(table: Table, seat_id: str) -> Seat:
    seat = table.seat(seat_id)
    if seat is None:
        raise NotThere("There is no such seat at this table.", hint="Choose a name of the list.")
    return seat
