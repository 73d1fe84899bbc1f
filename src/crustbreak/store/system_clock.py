"""The machine's own time and chance."""

import secrets
from datetime import UTC, datetime

SEED_BYTES = 32
SECRET_BYTES = 16


class SystemClock:
    """Tells the time of this machine."""

    def now(self) -> datetime:
        """Return the moment, UTC, to the millisecond: a moment equals itself read back."""
        moment = datetime.now(UTC)
        return moment.replace(microsecond=moment.microsecond // 1000 * 1000)


class SystemRandomness:
    """Takes chance from the operating system."""

    def seed(self) -> bytes:
        """Return 32 fresh bytes for a draw."""
        return secrets.token_bytes(SEED_BYTES)

    def secret(self) -> str:
        """Return a fresh 128-bit secret, as text fit for an address."""
        return secrets.token_urlsafe(SECRET_BYTES)
