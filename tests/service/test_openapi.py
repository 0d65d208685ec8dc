"""The description of the API is true: its examples work, its answers are the ones named."""

from collections.abc import Iterator
from threading import current_thread
from typing import Any, NamedTuple

import pytest
from starlette.testclient import TestClient

from service.db import Database
from service.web.application import create_app
from tests.entering import with_key
from tests.service.api import YARN, Api, Json, assert_problem, order_body

BEGUN = ("accepted", "making")
NEEDED = {
    "outcome": (*BEGUN, "finished"),
    "credit-notes": ("accepted",),
    **dict.fromkeys(("bench/events", "bench/place", "bench/follow"), BEGUN),
}
"""The steps along which an order must have gone before a path takes its example."""
METHODS = ("get", "post", "put", "patch", "delete")


class Operation(NamedTuple):
    """One route of the description."""

    method: str
    path: str
    told: Json


@pytest.fixture
def document(sqlite_database: Database) -> Json:
    return create_app(sqlite_database).openapi()


def operations(document: Json) -> Iterator[Operation]:
    for path, routes in document["paths"].items():
        for method in METHODS:
            if method in routes:
                yield Operation(method, path, routes[method])


def examples(operation: Operation) -> list[Any]:
    content = operation.told.get("requestBody", {}).get("content", {})
    told = content.get("application/json", {})
    return [example["value"] for example in told.get("examples", {}).values()]


def sent(api: Api, operation: Operation, body: object) -> Any:  # noqa: ANN401 - a response
    """Send a body to an operation, on an order and a shop that are there."""
    path = operation.path.replace("{kind}", "care")
    if path.endswith("/deliveries"):  # a mail needs an address that it is from
        api.shop({"email": "odile@marrowfield.example"})
    if "{number}" in path:
        order = api.moved(api.taken(), *NEEDED.get(path.rpartition("{number}/")[2], ()))
        path = path.replace("{number}", order["number"])
    if path.endswith("/credit-notes"):
        api.post(path.removeprefix("/api/v1").replace("credit-notes", "invoices"), None)
    if "{yarn_id}" in path:
        path = path.replace("{yarn_id}", str(api.post("/yarns", YARN).json()["id"]))
    if "{draft_id}" in path:
        kept = api.post("/drafts", {"fields": {"dog.name": ["Pipkin"]}}).json()
        path = path.replace("{draft_id}", str(kept["id"]))
    return api.client.request(operation.method, path, json=body, headers=_version(api, path))


def _version(api: Api, path: str) -> dict[str, str]:
    for ending in ("/state", "/together", "/outcome", "/swatches"):
        path = path.removesuffix(ending)
    seen = api.client.get(path)
    return {"If-Match": seen.headers["ETag"]} if "ETag" in seen.headers else {}


def test_the_description_is_served_with_the_routes_of_the_api(api: Api) -> None:
    document = api.client.get("/openapi.json").json()
    routes = {(operation.method, operation.path) for operation in operations(document)}

    assert document["openapi"].startswith("3.1")
    assert {
        ("post", "/api/v1/checks"),
        ("post", "/api/v1/plans"),
        ("post", "/api/v1/orders"),
        ("get", "/api/v1/orders"),
        ("get", "/api/v1/orders/{number}"),
        ("patch", "/api/v1/orders/{number}"),
        ("post", "/api/v1/orders/{number}/state"),
        ("get", "/api/v1/orders/{number}/work-ticket.pdf"),
        ("get", "/api/v1/orders/{number}/care-sheet.pdf"),
    } <= routes


def test_the_description_is_the_application_s_own_and_is_asked_for_once(api: Api) -> None:
    first = api.client.get("/openapi.json")
    assert first.json() == api.client.app.openapi()  # type: ignore[attr-defined]
    again = api.client.get("/openapi.json", headers={"If-None-Match": first.headers["ETag"]})
    assert (again.status_code, again.content) == (304, b"")
    head = api.client.head("/openapi.json")
    assert (head.status_code, head.content) == (200, b"")


def test_it_is_worked_out_beside_the_requests(sqlite_database: Database) -> None:
    app = create_app(sqlite_database)
    client = with_key(TestClient(app))
    names: list[str] = []
    work = app.openapi

    def watched() -> Json:
        names.append(current_thread().name)
        return work()

    app.openapi = watched  # type: ignore[method-assign]
    for address in ("/docs", "/openapi.json"):
        assert client.get(address).status_code == 200
    assert names
    assert all(name.startswith("errand") for name in names)


def test_the_pages_are_no_part_of_it(document: Json) -> None:
    assert all(operation.path.startswith("/api/v1/") for operation in operations(document))


def test_every_route_says_what_it_does(document: Json) -> None:
    untold = [one.path for one in operations(document) if not one.told.get("description")]

    assert untold == []


def test_every_body_has_an_example_and_every_example_works(api: Api, document: Json) -> None:
    tried = 0
    for operation in operations(document):
        if "requestBody" not in operation.told:
            continue
        assert examples(operation), f"{operation.method} {operation.path} has no example"
        for example in examples(operation):
            response = sent(api, operation, example)
            assert response.is_success, f"{operation.path}: {response.text}"
            assert str(response.status_code) in operation.told["responses"]
            tried += 1
    assert tried >= 8


def test_no_example_is_stopped_but_the_one_that_shows_a_finding(api: Api) -> None:
    document = api.client.get("/openapi.json").json()
    (taking,) = [
        o for o in operations(document) if (o.method, o.path) == ("post", "/api/v1/orders")
    ]

    for example in examples(taking):
        assert api.taken(example)["plan"] is not None


def test_a_length_shows_how_it_may_be_written(document: Json) -> None:
    told = document["components"]["schemas"]["MeasurementsIn"]["properties"]

    needed = document["components"]["schemas"]["MeasurementsIn"]["required"]
    assert set(needed) == {"neck_length", "neck_girth", "nape_length", "face_girth"}
    assert set(told) == {*needed, "crown_length", "head_girth"}
    shown = (field if name in needed else field["anyOf"][0] for name, field in told.items())
    assert all("14 1/2 in" in field["examples"] for field in shown)


def test_errors_are_described_as_problems_and_as_nothing_else(document: Json) -> None:
    for operation in operations(document):
        for status, told in operation.told["responses"].items():
            if status.startswith(("4", "5")):
                assert set(told["content"]) == {"application/problem+json"}, operation.path


@pytest.mark.parametrize(
    ("method", "path", "body", "status", "code"),
    [
        ("post", "/api/v1/checks", {}, 422, "wrong-shape"),
        ("post", "/api/v1/orders", {}, 422, "wrong-shape"),
        ("get", "/api/v1/orders/2026-0404", None, 404, "not-found"),
        ("patch", "/api/v1/orders/2026-0001", {}, 428, "version-missing"),
        ("put", "/api/v1/shop", {}, 428, "version-missing"),
    ],
)
def test_an_error_has_the_shape_and_a_status_that_were_described(
    api: Api, document: Json, method: str, path: str, body: object, status: int, code: str
) -> None:
    api.taken(order_body())
    problem = assert_problem(api.client.request(method, path, json=body), status, code)

    described = path.replace("2026-0404", "{number}").replace("2026-0001", "{number}")
    told = document["paths"][described][method]["responses"][str(status)]
    schema = told["content"]["application/problem+json"]["schema"]
    assert set(problem) == set(schema["properties"])
