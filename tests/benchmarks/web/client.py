"""A plain HTTP/1.1 client that costs little: requests ready as bytes, one thread, no parsing.

It shares the machine with the server it loads, so it does as little as can be done: it reads the
status and the length of each answer and throws the rest away.
"""

import re
import selectors
import socket
import time
from collections import Counter
from collections.abc import Iterator, Mapping, Sequence
from dataclasses import dataclass, field
from statistics import median, quantiles
from typing import Final

from tests.entering import KEY

_LENGTH: Final = re.compile(rb"\r\ncontent-length: *([0-9]+)", re.IGNORECASE)
_END: Final = b"\r\n\r\n"


def request(
    method: str, path: str, headers: Mapping[str, str] | None = None, body: bytes = b""
) -> bytes:
    """Return a request as it goes over the wire."""
    lines = [f"{method} {path} HTTP/1.1", "Host: 127.0.0.1", f"Authorization: Bearer {KEY}"]
    if method != "GET":
        lines += ["Content-Type: application/json", f"Content-Length: {len(body)}"]
    lines += [f"{name}: {value}" for name, value in (headers or {}).items()]
    return "\r\n".join(lines).encode() + _END + body


@dataclass(slots=True)
class Load:
    """What a load got: answers by status, the seconds it took, and how long each answer took."""

    seconds: float = 0.0
    statuses: Counter[int] = field(default_factory=Counter)
    waits: list[float] = field(default_factory=list)
    bytes_in: int = 0
    processor: float = 0.0
    """Seconds that the server's processor worked for it."""

    @property
    def cost(self) -> float:
        """The processor's seconds for an answer."""
        return self.processor / len(self.waits)

    @property
    def per_second(self) -> float:
        """Answers in a second."""
        return len(self.waits) / self.seconds

    @property
    def middle_ms(self) -> float:
        """The median of the waits."""
        return median(self.waits) * 1000

    @property
    def slow_ms(self) -> float:
        """The wait that 99 in 100 stay under."""
        return quantiles(self.waits, n=100)[-1] * 1000

    def refuse(self, wanted: int) -> None:
        """End the run if an answer had another status."""
        if set(self.statuses) != {wanted}:
            raise SystemExit(f"expected only {wanted}, got {dict(self.statuses)}")


@dataclass(slots=True)
class _Line:
    """One connection, and the answer that is coming in on it."""

    socket: socket.socket
    asked_at: float = 0.0
    got: bytearray = field(default_factory=bytearray)
    due: int = 0

    def ask(self, wire: bytes) -> None:
        self.got.clear()
        self.due = 0
        self.asked_at = time.perf_counter()
        self.socket.sendall(wire)

    def whole(self) -> bool:
        """Read what is there; return whether the answer is whole."""
        part = self.socket.recv(262_144)
        if not part:
            raise SystemExit("the server closed the connection")
        self.got += part
        if not self.due and (head := self.got.find(_END)) >= 0:
            length = _LENGTH.search(self.got, 0, head + 4)
            self.due = head + 4 + (int(length[1]) if length else 0)
        return bool(self.due) and len(self.got) >= self.due


def load(port: int, wires: Iterator[bytes], lines: int, seconds: float) -> Load:
    """Send requests over some connections at once for some seconds; return what came back."""
    found = Load()
    watch = selectors.DefaultSelector()
    open_lines = []
    for _ in range(lines):
        line = _Line(socket.create_connection(("127.0.0.1", port)))
        line.socket.setsockopt(socket.IPPROTO_TCP, socket.TCP_NODELAY, 1)
        watch.register(line.socket, selectors.EVENT_READ, line)
        open_lines.append(line)
    begun = time.perf_counter()
    for line in open_lines:
        line.ask(next(wires))
    busy = lines
    while busy:
        for key, _ in watch.select():
            line = key.data
            if not line.whole():
                continue
            now = time.perf_counter()
            found.waits.append(now - line.asked_at)
            found.statuses[int(line.got[9:12])] += 1
            found.bytes_in += line.due
            if now - begun < seconds:
                line.ask(next(wires))
            else:
                busy -= 1
    found.seconds = time.perf_counter() - begun
    for line in open_lines:
        line.socket.close()
    return found


def together(loads: Sequence[Load]) -> Load:
    """Return several loads as one."""
    whole = Load()
    for one in loads:
        whole.seconds += one.seconds
        whole.statuses += one.statuses
        whole.waits += one.waits
        whole.bytes_in += one.bytes_in
        whole.processor += one.processor
    return whole
