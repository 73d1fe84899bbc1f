"""Devices find their table and take their seats."""

from dataclasses import dataclass
from hashlib import sha256
from typing import Literal

from crustbreak.core.errors import NotNow, NotThere, NotYours
from crustbreak.domain.records.tables import Seat, Table
from crustbreak.ports.lab import Lab
from crustbreak.ports.repository import Helper, Joining, Pass, ReadAccess, WriteAccess
from crustbreak.services.devices.codes import demand_open
from crustbreak.services.tables.state import refused_grips, snapshot_in

Way = Literal["table", "seat", "helper"]

NO_SUCH_SEAT = "There is no such seat at this table."


@dataclass(frozen=True, slots=True, kw_only=True)
class Invitation:
    """What a device sees before it has a seat: the tasters' names and which seats are taken.

    way:    `table` for a free seat of one's choice, `seat` to take one over, `helper` to tap pours.
    seats:  those that can be chosen.
    """

    table: Table
    asks: str
    way: Way
    seats: tuple[Seat, ...]
    taken: frozenset[str]


@dataclass(frozen=True, slots=True, kw_only=True)
class Seated:
    """A device at its seat.

    device:  hash of its secret, by which the lab remembers when it was heard.
    """

    table: Table
    seat: Seat
    grip: int
    device: str = ""


@dataclass(frozen=True, slots=True, kw_only=True)
class Helping:
    """A device that helps at a table."""

    table: Table
    grip: int
    device: str


def read_invitation(lab: Lab, token: str) -> Invitation:
    """Return what a table's token or a pass leads to; NotThere when it is none of ours."""

    def ask(records: ReadAccess) -> Invitation:
        table, leave = _invited(lab, records, token)
        chosen = [seat for seat in table.seats if leave and seat.id == leave.seat_id]
        return Invitation(
            table=table,
            asks=lab.plugin(table.question).question.asks,
            way=_way(leave),
            seats=tuple(chosen) if leave else table.seats,
            taken=frozenset() if leave else _taken(lab, records, table),
        )

    return lab.repository.read(ask)


def _way(leave: Pass | None) -> Way:
    if leave is None:
        return "table"
    return "helper" if leave.seat_id is None else "seat"


def _invited(lab: Lab, records: ReadAccess, token: str) -> tuple[Table, Pass | None]:
    leave = records.passed(token)
    if leave is None or leave.token != token:
        return records.invited(token), None
    demand_open(lab, records, leave)
    return records.table(leave.table_id), leave


def _taken(lab: Lab, records: ReadAccess, table: Table) -> frozenset[str]:
    seats = snapshot_in(lab, records, table).seats
    return frozenset(seat_id for seat_id, view in seats.items() if view.grip > 0)


def take_seat(lab: Lab, token: str, seat_id: str, secret: str) -> Seated:
    """Take a free seat, or by a pass the seat that it is for.

    The device makes its secret and says it with the wish, so that a wish whose answer was lost
    on the way can be said again: the same device gets the same seat.

    Args:    secret: 128 random bits of the device's, kept here only as a hash.
    Raises:  NotThere for a wrong invitation or seat; NotNow for a seat that is taken, a pass
             that was used, or a device that sits elsewhere.
    """
    mine = hash_secret(secret)

    def work(records: WriteAccess) -> Seated:
        table, seat = _wanted(records, token, seat_id)
        joinings = records.joinings(table.id)
        own = next((joining for joining in joinings if joining.secret_hash == mine), None)
        if own:
            return _again(table, seat, own)
        table, leave = _invited(lab, records, token)
        if leave is None and seat.id in _taken(lab, records, table):
            raise NotNow(
                f"{seat.taster} already has a phone at this table.",
                hint="Choose your own name, or ask the host to hand the seat to this phone.",
            )
        _demand_seat(leave, seat)
        grips = [joining.grip for joining in joinings if joining.seat_id == seat.id]
        joining = Joining(
            table_id=table.id,
            seat_id=seat.id,
            grip=max(grips, default=0) + 1,
            secret_hash=mine,
            joined_at=lab.clock.now(),
            token=leave.token if leave else None,
        )
        records.add_joining(joining)
        return Seated(table=table, seat=seat, grip=joining.grip, device=mine)

    seated = lab.repository.write(work)
    lab.notifier.ring(seated.table.id)
    return seated


def _wanted(records: ReadAccess, token: str, seat_id: str) -> tuple[Table, Seat]:
    # A device that says its wish again may come with a pass that it has used itself.
    leave = records.passed(token)
    known = leave is not None and leave.token == token
    table = records.table(leave.table_id) if leave and known else records.invited(token)
    return table, _seat(table, seat_id)


def _again(table: Table, seat: Seat, own: Joining) -> Seated:
    if own.seat_id != seat.id:
        raise NotNow(
            f"This phone already sits as {_seat(table, own.seat_id).taster}.",
            hint="Go on under that name.",
        )
    return Seated(table=table, seat=seat, grip=own.grip, device=own.secret_hash)


def _demand_seat(leave: Pass | None, seat: Seat) -> None:
    if leave and leave.seat_id != seat.id:
        raise NotThere(NO_SUCH_SEAT, hint="Use the code that the host gave for this seat.")


def become_helper(lab: Lab, token: str, secret: str) -> Helping:
    """Help at the table of a pass; NotNow when the pass was used by another device."""
    mine = hash_secret(secret)

    def work(records: WriteAccess) -> Helping:
        own = records.helper(mine)
        if own:
            return Helping(table=records.table(own.table_id), grip=own.grip, device=mine)
        table, leave = _invited(lab, records, token)
        if leave is None or leave.seat_id is not None:
            raise NotThere("This code is not for a helper.", hint="Ask the host for one.")
        grip = len(records.helpers(table.id)) + 1
        records.add_helper(
            Helper(
                table_id=table.id,
                grip=grip,
                secret_hash=mine,
                joined_at=lab.clock.now(),
                token=token,
            )
        )
        return Helping(table=table, grip=grip, device=mine)

    helping = lab.repository.write(work)
    lab.notifier.ring(helping.table.id)
    return helping


def recognise(lab: Lab, secret: str) -> Seated | Helping:
    """Return the seat of a device by its secret; NotYours when nobody has it, or it was refused."""
    at = find_device(lab, secret)
    if isinstance(at, Seated):
        acts = lab.repository.read(lambda records: records.events(at.table.id))
        demand_recognised(at, refused_grips(acts, at.seat.id))
    return at


def find_device(lab: Lab, secret: str) -> Seated | Helping:
    """Return the seat of a device by its secret, also of one that was refused.

    For what is looked at where it is written anyhow: see `take_entries`.

    Raises:  NotYours when nobody has it.
    """
    at = recall_device(lab, secret)
    if at is None:
        mine = hash_secret(secret)
        at = lab.repository.read(lambda records: _find(records, mine))
        lab.cache.remember(_device(mine), 1, at)
    return at


def recall_device(lab: Lab, secret: str) -> Seated | Helping | None:
    """Return the seat of a device that was found before, without a look at the records."""
    # Who joined as what never changes, and every request asks.
    at: Seated | Helping | None = lab.cache.recall(_device(hash_secret(secret)), 1)
    return at


def _device(secret_hash: str) -> str:
    return f"device {secret_hash}"


def _find(records: ReadAccess, mine: str) -> Seated | Helping:
    helper = records.helper(mine)
    if helper:
        return Helping(table=records.table(helper.table_id), grip=helper.grip, device=mine)
    joining = records.joining(mine)
    table = records.table(joining.table_id)
    return Seated(table=table, seat=_seat(table, joining.seat_id), grip=joining.grip, device=mine)


def demand_recognised(at: Seated, refused: frozenset[int]) -> None:
    """Refuse a device of which the host said "not us"."""
    if at.grip in refused:
        raise NotYours(
            "The host has not recognised this phone.",
            hint="What it holds stays on it. Ask the host, then scan the code once more.",
        )


def hash_secret(secret: str) -> str:
    """Return what is kept of a secret; 128 random bits need no salt and no slow hash."""
    return sha256(secret.encode("utf-8", "replace")).hexdigest()


def _seat(table: Table, seat_id: str) -> Seat:
    seat = table.seat(seat_id)
    if seat is None:
        raise NotThere(NO_SUCH_SEAT, hint="Choose a name of the list.")
    return seat
