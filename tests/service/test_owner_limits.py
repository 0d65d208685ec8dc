"""Buckets: what they hold, how they fill again, and that they are bounded."""

from datetime import UTC, datetime, timedelta

import pytest

from service.owner import limits
from service.owner.limits import Bucket, address_key

NOW = datetime(2026, 3, 14, tzinfo=UTC)


def test_a_bucket_is_full_at_first_and_fills_with_time() -> None:
    bucket = Bucket(3, 0.5)
    waits = [bucket.take("a", NOW) for _ in range(4)]

    assert waits == [0, 0, 0, 2]
    assert bucket.take("b", NOW) == 0
    assert bucket.take("a", NOW + timedelta(seconds=1)) == 1
    assert bucket.take("a", NOW + timedelta(seconds=2)) == 0
    assert [bucket.take("a", NOW + timedelta(days=1)) for _ in range(4)] == [0, 0, 0, 2]


def test_a_clock_that_goes_back_gives_nothing_away() -> None:
    bucket = Bucket(1, 1)
    bucket.take("a", NOW)

    assert bucket.take("a", NOW - timedelta(hours=1)) == 1
    assert bucket.take("a", NOW) == 1


def test_drained_it_is_empty_and_not_less() -> None:
    bucket = Bucket(3, 1)
    bucket.drain("a", NOW, 100)

    assert bucket.take("a", NOW) == 1
    assert bucket.take("a", NOW + timedelta(seconds=1)) == 0


def test_buckets_are_forgotten_when_there_are_too_many(monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.setattr(limits, "MOST", 10)
    bucket = Bucket(1, 1)
    for place in range(11):
        bucket.take(str(place), NOW)

    assert bucket.take("0", NOW) == 0
    assert bucket.take("10", NOW) == 1


def test_a_household_of_ipv6_is_one_address() -> None:
    """A site's hosts share the first 64 bits: RFC 4291, 2.5.4."""
    assert address_key("2001:db8:1:2::1") == address_key("2001:db8:1:2:ffff::9")
    assert address_key("2001:db8:1:2::1") != address_key("2001:db8:1:3::1")
    assert address_key("192.0.2.1") != address_key("192.0.2.2")
    assert address_key("testclient") == "testclient"
