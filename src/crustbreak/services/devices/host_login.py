"""The host's browsers enter by a link that works once; afterwards each is known by a secret."""

from collections.abc import Callable
from hmac import compare_digest
from threading import Lock
from typing import TypeVar

from crustbreak.core.errors import NotYours
from crustbreak.ports.lab import Lab
from crustbreak.services.devices.join import hash_secret

T = TypeVar("T")


class Links:
    """The link by which the next browser enters: one at a time, each used once."""

    def __init__(self, make: Callable[[], str], keep: Callable[[str], None]) -> None:
        """Make the first link.

        Args:  make: gives 128 fresh random bits as text fit for an address. keep: puts the
               unused link where the laptop's user finds it; called for each link once.
        """
        self._make = make
        self._keep = keep
        self._lock = Lock()
        self._unused = make()
        keep(self._unused)

    @property
    def unused(self) -> str:
        """The link that works now."""
        return self._unused

    def spend(self, said: str, then: Callable[[], T]) -> T:
        """Do what the unused link allows, and make the next; NotYours for any other.

        A link whose work failed still works: nobody has entered by it.
        """
        # Two browsers that come at once with one link are one too many.
        with self._lock:
            if not compare_digest(_bytes(said), _bytes(self._unused)):
                raise NotYours(
                    "This link was used already, or is not of this lab.",
                    hint="Run `crustbreak link` on this laptop: it prints a link that works.",
                )
            done = then()
            self._unused = self._make()
            self._keep(self._unused)
            return done


def enter(lab: Lab, links: Links, said: str) -> str:
    """Let a browser in by its link, and give the secret by which it is known from now on.

    Raises:  NotYours for a link that was used, or never made.
    """

    def admit() -> str:
        secret = lab.randomness.secret()
        at = lab.clock.now()
        # Only the hash is kept: who reads the lab's files cannot become the host's browser.
        lab.repository.write(lambda records: records.add_host_device(hash_secret(secret), at=at))
        return secret

    return links.spend(said, admit)


def knows(lab: Lab, secret: str) -> bool:
    """Return whether a browser has entered, by its secret.

    The hash is looked up, and not the secret: how long that takes tells nothing about it.
    """
    return lab.repository.read(lambda records: records.is_host_device(hash_secret(secret)))


def _bytes(text: str) -> bytes:
    return text.encode("utf-8", "replace")
