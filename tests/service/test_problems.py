"""Errors are problem details of RFC 9457, one status for each class of error."""

from collections.abc import Callable

import pytest
from starlette.testclient import TestClient

from service import errors, troubles
from service.db import Database
from service.orders import utc_now
from service.web.application import create_app
from service.web.gate.table import TABLE, Who
from service.web.problems import STATUS, TITLES, problem_of, status_of
from sizing import errors as core
from tests.entering import let_in, with_key
from tests.service.api import (
    PROBLEM,
    SLIPPED,
    Api,
    assert_problem,
    order_body,
    stopped_body,
)

INSIDE = "the inside of a fault"

# Every class of the table, how it is made, and the code that programs rely on.
MADE: dict[type[Exception], tuple[Callable[[], Exception], str]] = {
    errors.NotFoundError: (lambda: errors.NotFoundError("Look elsewhere."), "not-found"),
    errors.NotSignedInError: (
        lambda: errors.NotSignedInError("Sign in first."),
        "not-signed-in",
    ),
    errors.NotYoursError: (lambda: errors.NotYoursError("Ask the maker."), "not-yours"),
    errors.StaleError: (lambda: errors.StaleError("Load it again."), "changed-meanwhile"),
    errors.MissingVersionError: (
        lambda: errors.MissingVersionError("Say which version."),
        "version-missing",
    ),
    errors.NotAllowedError: (lambda: errors.NotAllowedError("Move it back."), "not-allowed-now"),
    errors.TooManyError: (lambda: errors.TooManyError(60), "too-many"),
    errors.NoPlanError: (lambda: errors.NoPlanError("Correct the number."), "no-plan"),
    errors.KeyReusedError: (lambda: errors.KeyReusedError("Use a new key."), "key-reused"),
    errors.UnreadableError: (
        lambda: errors.UnreadableError("Write 36 cm.", {"neck_girth": "Write 36 cm."}),
        "unreadable",
    ),
    troubles.DiskFullError: (troubles.DiskFullError, "disk-full"),
    troubles.TroubleError: (lambda: troubles.TroubleError("Wait."), "trouble"),
    core.NotationError: (lambda: core.NotationError("x", "No.", "36 cm"), "unreadable"),
    core.ValueOutOfRangeError: (
        lambda: core.ValueOutOfRangeError("hook_mm", "A hook is thicker."),
        "out-of-range",
    ),
    core.StoppedError: (lambda: core.StoppedError(("neck_girth",), "Measure again."), "stopped"),
    core.PatternFaultError: (lambda: core.PatternFaultError("hood", 3, "no"), "pattern-fault"),
}


@pytest.fixture(autouse=True)
def line_for_the_route_that_fails(monkeypatch: pytest.MonkeyPatch) -> None:
    """Who may use a route must be said before anybody may."""
    monkeypatch.setitem(TABLE, "GET /api/v1/fail", Who.MAKER)


def raising(error: Exception, database: Database) -> TestClient:
    """Return the whole application with one more route, which raises that error."""
    let_in(database, utc_now())

    def fail() -> None:
        raise error

    app = create_app(database)
    app.add_api_route("/api/v1/fail", fail)
    return with_key(TestClient(app, raise_server_exceptions=False))


def test_every_class_of_the_table_is_tried_here() -> None:
    assert set(MADE) == set(STATUS)


@pytest.mark.parametrize("kind", STATUS, ids=lambda kind: kind.__name__)
def test_an_error_is_answered_with_its_status_its_code_and_its_sentence(
    sqlite_database: Database, kind: type[Exception]
) -> None:
    make, code = MADE[kind]
    response = raising(make(), sqlite_database).get("/api/v1/fail")

    problem = assert_problem(response, STATUS[kind], code)
    assert problem["title"] == TITLES[STATUS[kind]]
    assert problem["detail"] == str(make())


@pytest.mark.parametrize(
    ("kind", "fields"),
    [
        (errors.UnreadableError, {"neck_girth"}),
        (core.ValueOutOfRangeError, {"hook_mm"}),
        (core.StoppedError, {"neck_girth"}),
    ],
)
def test_an_error_about_fields_names_them(kind: type[Exception], fields: set[str]) -> None:
    assert set(problem_of(MADE[kind][0]()).fields) == fields


def test_every_error_of_ours_has_a_status_of_its_own_or_of_its_parent() -> None:
    def below(kind: type[Exception]) -> set[type[Exception]]:
        return {kind}.union(*(below(child) for child in kind.__subclasses__()))

    ours = below(errors.ServiceError) | below(core.SizingError)
    roots = {errors.ServiceError, core.SizingError}
    untold = {kind.__name__ for kind in ours - roots if not set(kind.__mro__) & set(STATUS)}
    assert untold == set()


def test_an_error_without_an_entry_is_our_fault() -> None:
    assert status_of(errors.ServiceError("unknown")) == status_of(KeyError()) == 500


@pytest.mark.parametrize("error", [KeyError(INSIDE), RuntimeError(INSIDE), RecursionError(INSIDE)])
def test_a_fault_does_not_show_its_inside(sqlite_database: Database, error: Exception) -> None:
    response = raising(error, sqlite_database).get("/api/v1/fail")

    assert_problem(response, 500, "fault")
    assert INSIDE not in response.text


def test_an_address_that_leads_nowhere_is_said_to(sqlite_api: Api) -> None:
    problem = assert_problem(sqlite_api.client.get("/api/v1/nowhere"), 404, "http")

    assert "/docs" in problem["detail"]


def test_a_method_that_a_route_does_not_have_is_answered_with_those_it_has(
    sqlite_api: Api,
) -> None:
    response = sqlite_api.client.delete("/api/v1/shop")

    assert_problem(response, 405, "http")
    assert response.headers["Allow"]


def test_an_order_that_is_not_there_is_told_with_the_way_on(sqlite_api: Api) -> None:
    response = sqlite_api.client.get("/api/v1/orders/2026-0404")

    problem = assert_problem(response, 404, "not-found")
    assert "Look in the list" in problem["detail"]


def test_a_plan_that_is_stopped_is_refused_with_the_field(sqlite_api: Api) -> None:
    hood = {name: value for name, value in order_body().items() if name != "buyer"}
    response = sqlite_api.post("/plans", {**hood, "measurements": SLIPPED})

    problem = assert_problem(response, 409, "stopped")
    assert set(problem["fields"]) == {"neck_girth"}
    assert "36.85 cm" in problem["detail"]


@pytest.mark.parametrize("paper", ["work-ticket", "care-sheet"])
def test_an_order_without_a_plan_has_no_papers_yet(api: Api, paper: str) -> None:
    number = api.taken(stopped_body())["number"]
    response = api.client.get(f"/api/v1/orders/{number}/{paper}.pdf")

    assert response.headers["Content-Type"] == PROBLEM
    assert_problem(response, 409, "no-plan")
