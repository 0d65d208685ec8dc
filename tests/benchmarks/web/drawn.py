"""The nastiest requests that are allowed, each of any size: what `nasty` measures."""

import json
import re
from collections.abc import Callable, Iterator
from copy import deepcopy
from dataclasses import dataclass
from functools import partial
from typing import Any, Final
from urllib.parse import quote, urlencode

from starlette.testclient import TestClient

from service.web.gate.body import ADDRESS, FORM
from service.web.visitor import FIELD
from tests.pages.reading import Page
from tests.service.stocked import Stocked

TEXTS: Final = {
    "digits": "9",
    "fractions": "1/2 ",
    "spaces": " ",
    "marks on letters": "e\u0301",
    "separators": ",;",
    "units": "1 ft 2 in ",
    "addresses": "a@b.",
    "brackets": "{{<",
}
CELLS: Final = TEXTS | {
    "short lines": "a,b\n",
    "empty lines": "\n",
    "quotation marks": '"',
    "lines like a boundary": "\r\n--nasty",
    "headings": "buyer,",
    "orders": "buyer\n" + "Tilda Fenwright\n" * 20,
}
"""What a file is filled with."""
JSON: Final = "application/json"
TYPED: Final = "application/x-www-form-urlencoded"
FILE: Final = "multipart/form-data; boundary=nasty"
SHAPES: Final = ("deep", "deep members", "wide", "a number")
LONGEST_ADDRESS: Final = ADDRESS - 200
"""Characters behind the question mark."""
MEMBERS: Final = 190
"""Unknown members in each part: with the known ones as many as are allowed."""
PAGES: Final = (
    "/orders/new", "/orders/2026-0001", "/orders/2026-0004/edit", "/orders/2026-0001/in-hand",
    "/orders/2026-0006/papers", "/yarns", "/yarns/1", "/shop", "/mails/care", "/queue", "/account",
    "/accounts", "/ask", "/bring-in", "/orders?q=pip", "/buyers",
)  # fmt: skip
SEARCHED: Final = (
    "/orders?q=",
    "/orders?state=",
    "/buyers?q=",
    "/orders/new?draft=",
    "/sign-in?to=",
)
OWN: Final = frozenset({"version", "form_token", "form_whose", "key", "yarn_choice", "do"})
"""Fields that nobody types."""


@dataclass(frozen=True)
class Nasty:
    """A request that can be made of any size.

    Attributes:
        name: what it is, for the table.
        method: of HTTP.
        make: from about how many characters to the address and the body.
        kind: of its body; nothing for none.
        tag: of what it changes.
    """

    name: str
    method: str
    make: Callable[[int], tuple[str, bytes]]
    kind: str = ""
    tag: str = ""


def _long(text: str, size: int) -> str:
    return (text * (size // len(text) + 1))[:size]


def shaped(kind: str, size: int) -> bytes:
    """Return a body of an odd shape."""
    if kind == "deep":
        return b"[" * (size // 2) + b"]" * (size // 2)
    if kind == "deep members":
        return b'{"a":' * (size // 6) + b"1" + b"}" * (size // 6)
    if kind == "wide":
        return json.dumps({f"f{number}": 1 for number in range(size // 10)}).encode()
    return b"9" * size


def places(body: object, kind: type, place: tuple[Any, ...] = ()) -> Iterator[tuple[Any, ...]]:
    """Yield the places of all texts, or of all lists or parts, in a body."""
    if isinstance(body, kind):
        yield place
    if isinstance(body, dict):
        for name, value in body.items():
            yield from places(value, kind, (*place, name))
    elif isinstance(body, list):
        for index, value in enumerate(body[:1]):
            yield from places(value, kind, (*place, index))


def with_(body: Any, place: tuple[Any, ...], made: Callable[[Any], Any]) -> Any:  # noqa: ANN401 - JSON
    """Return a body with another value at a place."""
    if not place:
        return made(body)
    changed = deepcopy(body)
    at = changed
    for step in place[:-1]:
        at = at[step]
    at[place[-1]] = made(at[place[-1]])
    return changed


def _repeated(size: int) -> Callable[[list[Any]], list[Any]]:
    def make(found: list[Any]) -> list[Any]:
        one = found[0] if found else "x"
        return [one] * max(1, size // (len(json.dumps(one)) + 2))

    return make


def _everywhere(body: Any, size: int) -> Any:  # noqa: ANN401 - JSON
    """Return a body all of whose parts have as many unknown members as are allowed."""
    parts = [*places(body, dict)]
    each = min(MEMBERS, size // (10 * max(len(parts), 1)))
    more = {f"f{number}": 1 for number in range(each)}
    for place in reversed(parts):  # those inside first
        body = with_(body, place, lambda found: {**found, **more})
    return body


def _many_fields(body: Any, size: int) -> Any:  # noqa: ANN401 - JSON
    """Return a draft of many fields, each of many texts."""
    number = max(1, min(500, size // 80))
    texts = ["x"] * max(1, min(100, size // number // 5))
    return {**body, "fields": {f"f{place}": texts for place in range(number)}}


def _bodies(example: Any) -> Iterator[tuple[str, Callable[[int], Any]]]:  # noqa: ANN401 - JSON
    """Yield what to call each way to spoil an example, and the body that it makes of a size."""
    for place in places(example, str):
        for name, text in TEXTS.items():
            yield f"{_where(place)}, {name}", partial(_with_text, example, place, text)
    for place in places(example, list):
        yield f"{_where(place)}, a long list", partial(_with_list, example, place)
    if isinstance(example, dict):
        yield "unknown members everywhere", partial(_everywhere, example)
        if "fields" in example:
            yield "fields, many", partial(_many_fields, example)


def _where(place: tuple[Any, ...]) -> str:
    return ".".join(map(str, place))


def _with_text(body: Any, place: tuple[Any, ...], text: str, size: int) -> Any:  # noqa: ANN401 - JSON
    return with_(body, place, lambda _: _long(text, size))


def _with_list(body: Any, place: tuple[Any, ...], size: int) -> Any:  # noqa: ANN401 - JSON
    return with_(body, place, _repeated(size))


def of_the_api(stocked: Stocked) -> Iterator[Nasty]:
    """Yield requests with every text and list of every example, and with every query."""
    for path, routes in stocked.app.openapi()["paths"].items():
        _, rows = stocked.real(path)
        filled = re.sub(r"\{kind\}", "care", path)
        for value in rows[0] if rows else ():
            filled = re.sub(r"\{\w+\}", str(value), filled, count=1)
        filled = re.sub(r"\{\w+\}", "1", filled)
        for method, told in routes.items():
            line = f"{method.upper()} {path}"
            yield from _queries(line, method, filled, told)
            content = told.get("requestBody", {}).get("content", {}).get(JSON)
            if content:
                examples = list(content.get("examples", {}).values())[:1]
                yield from _sent(line, method, filled, examples, stocked.tag(filled, {}))


def _queries(line: str, method: str, path: str, told: dict[str, Any]) -> Iterator[Nasty]:
    for one in told.get("parameters", ()):
        if one["in"] == "query" and method == "get":
            for name, text in TEXTS.items():
                asked = f"{path}?{one['name']}="
                yield Nasty(f"{line}: ?{one['name']}, {name}", method, _asked(asked, text))


def _asked(asked: str, text: str) -> Callable[[int], tuple[str, bytes]]:
    def make(size: int) -> tuple[str, bytes]:
        return asked + quote(_long(text, size))[:LONGEST_ADDRESS].rsplit("%", 1)[0], b""

    return make


def _sent(line: str, method: str, path: str, examples: list[Any], tag: str) -> Iterator[Nasty]:
    for shape in SHAPES:
        yield Nasty(f"{line}: {shape}", method, _to(path, partial(shaped, shape)), JSON, tag)
    for example in examples:
        for said, body in _bodies(example["value"]):
            yield Nasty(f"{line}: {said}", method, _to(path, _written(body)), JSON, tag)


def _to(path: str, body: Callable[[int], bytes]) -> Callable[[int], tuple[str, bytes]]:
    return lambda size: (path, body(size))


def _written(body: Callable[[int], Any]) -> Callable[[int], bytes]:
    return lambda size: json.dumps(body(size)).encode()


def of_the_pages(client: TestClient) -> Iterator[Nasty]:
    """Yield every form of the pages with all that is typed in it nasty at once."""
    for page in PAGES:
        read = Page(client.get(page).text)
        posted = {one.attrs.get("action", ""): one.attrs for one in read.root.all("form")}
        for action, attrs in posted.items():
            if attrs.get("method") != "post" or not action or "sign-out" in action:
                continue
            form = read.form(action)
            pairs = [(name, value) for name, many in form.values.items() for value in many]
            yield from _forms(f"form {form.action} of {page}", form.action, pairs)
    for asked in SEARCHED:
        for name, text in TEXTS.items():
            yield Nasty(f"page {asked}: {name}", "get", _asked(asked, text))
    yield from _forms("form /sign-in", "/sign-in", [("name", ""), ("password", ""), ("to", "")])
    yield from _forms("form /sign-in, carried", "/sign-in", [("carried", "")])
    form = Page(client.get("/bring-in").text).form("/bring-in")
    yield from _files(form.values[FIELD][0])


def _forms(said: str, action: str, pairs: list[tuple[str, str]]) -> Iterator[Nasty]:
    typed = {name for name, _ in pairs if name not in OWN}
    for name, text in TEXTS.items():

        def filled(size: int, text: str = text) -> tuple[str, bytes]:
            own = len(urlencode([(n, "" if n in typed else v) for n, v in pairs]))
            share = (FORM - own) * len(text) // max(len(quote(text)) * len(typed), 1)
            written = _long(text, min(size, share))
            return action, urlencode(
                [(n, written if n in typed else v) for n, v in pairs]
            ).encode()

        if typed:
            yield Nasty(f"{said}: {name}", "post", filled, TYPED)
    last = next((name for name, _ in reversed(pairs) if name in typed), "x")
    for shape, more in (("many fields", "f{}"), ("one field many times", last)):

        def many(size: int, more: str = more) -> tuple[str, bytes]:
            number = min(size // 5, 1000 - len(pairs))
            return action, urlencode(
                pairs + [(more.format(n), "9") for n in range(number)]
            ).encode()

        yield Nasty(f"{said}: {shape}", "post", many, TYPED)


def _files(token: str) -> Iterator[Nasty]:
    """Yield files to bring in."""
    head = 'Content-Disposition: form-data; name="{}"'
    ours = f"--nasty\r\n{head.format(FIELD)}\r\n\r\n{token}\r\n"
    for name, text in CELLS.items():

        def filled(size: int, text: str = text) -> tuple[str, bytes]:
            file = head.format("file") + '; filename="orders.csv"'
            body = (
                f"{ours}--nasty\r\n{file}\r\n\r\nbuyer,dog\n{_long(text, size)}\r\n--nasty--\r\n"
            )
            return "/bring-in", body.encode()

        yield Nasty(f"file for /bring-in: {name}", "post", filled, FILE)

    def parts(size: int) -> tuple[str, bytes]:
        every = "".join(
            f"--nasty\r\n{head.format(f'f{n}')}\r\n\r\n9\r\n" for n in range(min(size // 50, 990))
        )
        return "/bring-in", f"{ours}{every}--nasty--\r\n".encode()

    yield Nasty("file for /bring-in: many fields", "post", parts, FILE)
