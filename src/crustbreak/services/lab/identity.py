"""The lab's life has a name, so that devices notice when an older state was put back."""

from crustbreak.ports.clock import Clock, Randomness
from crustbreak.ports.repository import Repository, WriteAccess


def start_incarnation(records: Repository, clock: Clock, randomness: Randomness) -> str:
    """Return the name of the lab's present life; a lab that has none begins its first."""
    name = records.read(lambda reading: reading.incarnation())
    return name or renew_incarnation(records, clock, randomness, reason="begun")


def renew_incarnation(
    records: Repository, clock: Clock, randomness: Randomness, *, reason: str
) -> str:
    """Begin a new life, because what the records hold may be less than what devices were told."""
    name = randomness.secret()

    def work(writing: WriteAccess) -> None:
        writing.add_incarnation(name, at=clock.now(), reason=reason)

    records.write(work)
    return name
