"""Clients that take orders, move them and send mails, and ask again with the same key."""

import random
import threading
import time
from dataclasses import dataclass, field
from typing import Any

from deploy.hurting.calls import Answer, Call, answer_to
from deploy.hurting.server import Server

STUBBORN = 300.0  # seconds for which a client asks the same again
OFTEN = 0.2  # how many orders are asked for a second time though they were answered
ORDER: dict[str, Any] = {
    "dog": {"name": "Bramble", "breed": "Beagle", "weight": "11 kg"},
    "measurements": {
        "neck_length": "8 cm",
        "neck_girth": "35,5 cm",
        "nape_length": "4 1/2 in",
        "face_girth": "380 mm",
    },
    "yarn": {
        "name": "Hemlock Aran",
        "fibres": [{"fibre": "acrylic", "percent": 100}],
        "weight_class": 4,
        "ball_metres": 170,
        "ball_grams": 100,
        "ball_price": "4.80",
    },
}


@dataclass
class Kept:
    """What the server has acknowledged, and how often it had to be asked again."""

    orders: dict[str, str] = field(default_factory=dict)
    moved: set[str] = field(default_factory=set)
    deliveries: dict[str, int] = field(default_factory=dict)
    faults: list[str] = field(default_factory=list)
    codes: dict[str, int] = field(default_factory=dict)
    broken: int = 0


class Client(threading.Thread):
    """Takes one order after the other until it is told to end; finishes the one it is at."""

    def __init__(self, server: Server, name: str, kept: Kept, end: threading.Event) -> None:
        """Take the name that its keys begin with."""
        super().__init__(name=name, daemon=True)
        self.server, self.kept, self.end = server, kept, end
        self.dice = random.Random(name)  # noqa: S311 - no secret

    def run(self) -> None:
        """Work."""
        number = 0
        while not self.end.is_set():
            number += 1
            try:
                self.one(f"{self.name} {number}")
            except Exception as error:  # noqa: BLE001 - counted, and told in the table
                self.kept.faults.append(f"{self.name} {number}: {error!r}")

    def until(self, call: Call, *good: int) -> Answer:
        """Make a call again and again until it is answered as it should be."""
        end = time.monotonic() + STUBBORN
        while time.monotonic() < end:
            came = answer_to(call)
            if came.status in good:
                return came
            if came.status == 0:
                self.kept.broken += 1
            elif came.status in {503, 507}:
                self.kept.codes[came.code] = self.kept.codes.get(came.code, 0) + 1
            else:
                raise RuntimeError(f"{call.method} {call.address}: {came.status} {came.body}")
            time.sleep(0.05)
        raise RuntimeError(f"{call.method} {call.address} was never answered")

    def one(self, key: str) -> None:
        """Take an order, ask for it again now and then, move it, send its care sheet."""
        buyer = {"name": f"Buyer {key}", "email": "ottoline@wrack.example"}
        call = self.server.call("POST", "/orders", {**ORDER, "buyer": buyer}, Idempotency_Key=key)
        order = self.until(call, 201).body
        number = order["number"]
        self.kept.orders[key] = number
        if self.dice.random() < OFTEN:
            again = self.until(call, 201).body["number"]
            if again != number:
                raise RuntimeError(f"asked again with {key}: {again}, not {number}")
        self.move(number)
        mail = {"kind": "care", "language": "en"}
        sent = self.server.call(
            "POST", f"/orders/{number}/deliveries", mail, Idempotency_Key="care"
        )
        self.kept.deliveries[number] = self.until(sent, 201).body["id"]

    def move(self, number: str) -> None:
        """Move an order on; an answer that was lost shows as a newer version."""
        call = self.server.call(
            "POST", f"/orders/{number}/state", {"to": "quoted"}, If_Match='"1"'
        )
        if self.until(call, 200, 412).status == 412:  # noqa: PLR2004 - changed meanwhile
            seen = self.until(self.server.call("GET", f"/orders/{number}"), 200).body
            if seen["state"] != "quoted":
                raise RuntimeError(f"{number} was neither moved nor left")
        self.kept.moved.add(number)


@dataclass
class Load:
    """Several clients at work as long as the block lasts."""

    server: Server
    clients: int
    kept: Kept = field(default_factory=Kept)

    def __enter__(self) -> Kept:
        """Let them begin."""
        self._end = threading.Event()
        names = [f"c{number}" for number in range(self.clients)]
        self._threads = [Client(self.server, name, self.kept, self._end) for name in names]
        for one in self._threads:
            one.start()
        return self.kept

    def __exit__(self, *_: object) -> None:
        """Let each finish what it is at."""
        self._end.set()
        for one in self._threads:
            one.join(STUBBORN * 2)


def open_shop(server: Server) -> None:
    """Give the shop the address that its mails are from."""
    seen = answer_to(server.call("GET", "/shop"))
    mine = server.call("PUT", "/shop", {"email": "odile@marrowfield.example"}, If_Match=seen.tag)
    if answer_to(mine).status != 200:  # noqa: PLR2004 - done
        raise RuntimeError(f"the shop's address could not be kept: {seen}")
