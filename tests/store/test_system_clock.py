from datetime import UTC, datetime, timedelta

from crustbreak.core.units import utc_moment, utc_text
from crustbreak.store.system_clock import SystemClock, SystemRandomness


def test_the_clock_tells_this_moment_in_utc() -> None:
    told = SystemClock().now()

    assert told.tzinfo is UTC
    assert abs(datetime.now(UTC) - told) < timedelta(seconds=5)


def test_what_the_clock_tells_equals_itself_written_and_read() -> None:
    told = SystemClock().now()

    assert utc_moment(utc_text(told)) == told


def test_each_seed_is_32_bytes_and_its_own() -> None:
    randomness = SystemRandomness()

    seeds = {randomness.seed() for _ in range(100)}

    assert len(seeds) == 100
    assert {len(seed) for seed in seeds} == {32}


def test_each_secret_is_its_own_and_needs_no_escaping_in_an_address() -> None:
    randomness = SystemRandomness()

    secrets = {randomness.secret() for _ in range(100)}

    assert len(secrets) == 100
    # 16 bytes at 6 bits a sign.
    assert {len(secret) for secret in secrets} == {22}
    assert all(secret.replace("-", "").replace("_", "").isalnum() for secret in secrets)
