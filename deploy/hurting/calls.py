"""Calls to the API over plain HTTP, as any program makes them."""

import json
from dataclasses import dataclass
from http.client import HTTPException
from typing import Any
from urllib.error import HTTPError
from urllib.request import Request, urlopen

SECONDS = 40.0  # a client's patience with one answer


@dataclass(frozen=True)
class Call:
    """One call."""

    method: str
    address: str
    body: object
    headers: dict[str, str]


@dataclass(frozen=True)
class Answer:
    """What came: a status, 0 for a connection that broke, and the body."""

    status: int
    body: Any
    tag: str = ""

    @property
    def code(self) -> str:
        """The code of a problem."""
        return str(self.body.get("code", "")) if isinstance(self.body, dict) else ""


def answer_to(call: Call) -> Answer:
    """Make a call."""
    content = None if call.body is None else json.dumps(call.body).encode()
    headers = {"Content-Type": "application/json", **call.headers}
    request = Request(call.address, content, headers, method=call.method)  # noqa: S310 - our own server
    try:
        with urlopen(request, timeout=SECONDS) as came:  # noqa: S310 - as above
            return Answer(came.status, json.load(came), came.headers.get("ETag", ""))
    except HTTPError as error:
        with error:
            return _refused(error)
    except (OSError, HTTPException, ValueError):
        return Answer(0, None)


def _refused(error: HTTPError) -> Answer:
    try:
        return Answer(error.code, json.load(error))
    except (OSError, HTTPException, ValueError):
        return Answer(0, None)


def answers(call: Call) -> bool:
    """Return whether a call is answered as it should be."""
    return answer_to(call).status in {200, 201}
