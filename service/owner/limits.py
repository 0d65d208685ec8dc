"""How often somebody outside may ask: buckets that fill again with time, in this process."""

from collections import OrderedDict
from dataclasses import dataclass, field
from datetime import datetime
from ipaddress import IPv6Address, ip_address
from secrets import token_bytes
from threading import Lock
from typing import Final

MOST: Final = 10_000
"""Buckets that are remembered; the ones not used for longest are forgotten first."""
MISSED: Final = 5.0
"""What an address pays for a link that there is not: trying is dearer than knowing."""


class Bucket:
    """Full buckets for all, one by key; each request takes from its own."""

    def __init__(self, size: float, each_second: float) -> None:
        """Take how much a full bucket holds, and how much flows in within a second."""
        self.size = size
        self.each_second = each_second
        self._left: OrderedDict[str, tuple[float, datetime]] = OrderedDict()
        self._lock = Lock()

    def _change(self, key: str, now: datetime, cost: float, *, forced: bool) -> float:
        """Take from a bucket, or all that is left if forced; return what is short."""
        with self._lock:
            left, at = self._left.pop(key, (self.size, now))
            passed = max((now - at).total_seconds(), 0.0)
            left = min(left + passed * self.each_second, self.size)
            short = max(cost - left, 0.0)
            if forced or not short:
                left = max(left - cost, 0.0)
            self._left[key] = (left, max(now, at))
            if len(self._left) > MOST:
                self._left.popitem(last=False)
        return short

    def take(self, key: str, now: datetime) -> float:
        """Take one from a bucket; return 0, or for how many seconds there is none in it."""
        return self._change(key, now, 1.0, forced=False) / self.each_second

    def drain(self, key: str, now: datetime, cost: float) -> None:
        """Take so much, or all there is."""
        self._change(key, now, cost, forced=True)


@dataclass(frozen=True, slots=True)
class Door:
    """What stands between the shop and those outside, for one running application.

    Attributes:
        links: by link; an owner who types is asked after each number.
        addresses: by the address of whoever asks.
        strangers: enquiries that are sent, by address.
        all_strangers: enquiries that are sent, by all together.
        key: signs the time at which a form was given out.
    """

    links: Bucket = field(default_factory=lambda: Bucket(60, 0.5))
    addresses: Bucket = field(default_factory=lambda: Bucket(120, 1))
    strangers: Bucket = field(default_factory=lambda: Bucket(5, 1 / 600))
    all_strangers: Bucket = field(default_factory=lambda: Bucket(60, 1 / 60))
    key: bytes = field(default_factory=lambda: token_bytes(32), repr=False)


def address_key(host: str) -> str:
    """Return the key of an address; one household has a whole /64 of IPv6."""
    try:
        address = ip_address(host)
    except ValueError:
        return host[:100]
    if isinstance(address, IPv6Address):
        return address.exploded[:19]
    return host
