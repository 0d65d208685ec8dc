"""One table from errors to statuses, answered as problem details (RFC 9457).

422 is for what was sent and cannot be read or cannot be; 409 for what the state of things
does not allow; 412 and 428 for a missing or outdated version. Programs rely on `code`.
"""

from collections.abc import Sequence
from functools import cache
from http import HTTPStatus
from typing import Any, Final

from fastapi import FastAPI, Request
from fastapi.encoders import jsonable_encoder
from fastapi.exceptions import RequestValidationError
from fastapi.responses import JSONResponse
from pydantic import BaseModel
from starlette.exceptions import HTTPException

from service import errors, troubles
from service.web.requestlog import log_fault
from sizing import errors as core

MEDIA: Final = "application/problem+json"
STATUS: Final[dict[type[Exception], int]] = {
    errors.NotFoundError: 404,
    errors.NotSignedInError: 401,
    errors.NotYoursError: 403,
    errors.StaleError: 412,
    errors.MissingVersionError: 428,
    errors.NotAllowedError: 409,
    errors.NoPlanError: 409,
    errors.KeyReusedError: 422,
    errors.TooManyError: 429,
    errors.UnreadableError: 422,
    troubles.DiskFullError: 507,
    troubles.TroubleError: 503,
    core.NotationError: 422,
    core.ValueOutOfRangeError: 422,
    core.StoppedError: 409,
    core.PatternFaultError: 500,
}
TITLES: Final = {
    401: "Not signed in",
    403: "Not allowed",
    404: "Not found",
    405: "Method not allowed",
    408: "Too slow",
    409: "Not possible now",
    412: "Changed meanwhile",
    413: "Too large",
    414: "Address too long",
    415: "Not this kind of body",
    422: "Something cannot be read",
    428: "Version missing",
    429: "Too often",
    500: "Our fault",
    503: "The database cannot be used just now",
    507: "The disk is full",
}
MOST_TOLD: Final = 100
"""Faults of shape that one answer tells."""
NO_JSON: Final = "This cannot be read. Send JSON in UTF-8"
SAID: Final = {
    404: "There is nothing at this address. The API is described at /docs.",
    405: "This address cannot be used in that way. The header Allow says how it can be.",
}
_CORE_CODES: Final[dict[type[Exception], str]] = {
    core.NotationError: "unreadable",
    core.ValueOutOfRangeError: "out-of-range",
    core.StoppedError: "stopped",
    core.PatternFaultError: "pattern-fault",
}


class Problem(BaseModel):
    """Problem details: RFC 9457's members, with our code and the fields."""

    type: str = "about:blank"
    title: str
    status: int
    detail: str
    code: str
    fields: dict[str, str] = {}


def status_of(error: Exception) -> int:
    """Return the status for an error: the nearest class in the table."""
    return next((STATUS[kind] for kind in type(error).__mro__ if kind in STATUS), 500)


def _code_of(error: Exception) -> str:
    if isinstance(error, errors.ServiceError):
        return error.code
    return next((_CORE_CODES[k] for k in type(error).__mro__ if k in _CORE_CODES), "fault")


def fields_of(error: Exception) -> dict[str, str]:
    """Return what is wrong, field by field."""
    if isinstance(error, errors.ServiceError):
        return error.fields
    if isinstance(error, core.ValueOutOfRangeError):
        return {error.field: str(error)}
    if isinstance(error, core.StoppedError):
        return dict.fromkeys(error.fields, str(error))
    return {}


def problem_of(error: Exception) -> Problem:
    """Return the problem that an error of ours is answered with."""
    status = status_of(error)
    return Problem(
        title=TITLES.get(status, "Problem"),
        status=status,
        detail=str(error),
        code=_code_of(error),
        fields=fields_of(error),
    )


def _field_of(error: dict[str, Any]) -> str:
    """Return the dotted name of the field that an error of shape is about."""
    if error["type"] == "json_invalid":  # its place is a position in the text, not a field
        return "body"
    return ".".join(str(part) for part in error["loc"] if part != "body") or "body"


def shape_problem(found: Sequence[Any]) -> Problem:
    """Return the problem for a body or parameter of the wrong shape.

    Of many faults the first are told: there may be as many as unknown members in a body.
    """
    fields = {
        _field_of(e): NO_JSON if e["type"] == "json_invalid" else e["msg"]
        for e in found[:MOST_TOLD]
    }
    detail = "; ".join(f"{name}: {message}" for name, message in list(fields.items())[:20])
    return Problem(
        title=TITLES[422], status=422, detail=detail[:2000], code="wrong-shape", fields=fields
    )


def answer(problem: Problem) -> JSONResponse:
    """Return the response for a problem."""
    content = jsonable_encoder(problem)
    return JSONResponse(content, status_code=problem.status, media_type=MEDIA)


def _write_down(request: Request, error: Exception) -> None:
    log_fault(request.scope.get("hoodwright.request", ""), error)


async def _ours(request: Request, error: Exception) -> JSONResponse:
    problem = problem_of(error)
    if problem.status == 500:  # noqa: PLR2004 - the status of our own faults
        _write_down(request, error)
    response = answer(problem)
    if isinstance(error, troubles.TroubleError):
        _write_down(request, error)
        response.headers["Retry-After"] = str(error.seconds)
    return response


async def _wrong_shape(_request: Request, error: Exception) -> JSONResponse:
    assert isinstance(error, RequestValidationError)  # noqa: S101 - registered so
    return answer(shape_problem(error.errors()))


async def _plain_http(_request: Request, error: Exception) -> JSONResponse:
    assert isinstance(error, HTTPException)  # noqa: S101 - registered so
    status, detail = error.status_code, str(error.detail)
    if detail == HTTPStatus(status).phrase:
        detail = SAID.get(status, detail)
    title = TITLES.get(status, "Problem")
    problem = Problem(title=title, status=status, detail=detail, code="http")
    if status == HTTPStatus.BAD_REQUEST:  # FastAPI's own, for a body that no parser takes
        problem = shape_problem([{"type": "json_invalid"}])
    response = answer(problem)
    response.headers.update(error.headers or {})
    return response


async def _fault(request: Request, error: Exception) -> JSONResponse:
    _write_down(request, error)
    detail = "Something went wrong on our side; nothing was changed. Please try again."
    return answer(Problem(title=TITLES[500], status=500, detail=detail, code="fault"))


def register(app: FastAPI) -> None:
    """Answer all errors of the application as problems."""
    for kind in (errors.ServiceError, core.SizingError):
        app.add_exception_handler(kind, _ours)
    app.add_exception_handler(RequestValidationError, _wrong_shape)
    app.add_exception_handler(HTTPException, _plain_http)
    app.add_exception_handler(Exception, _fault)


@cache
def _written_out() -> dict[str, Any]:
    # A `model` would be documented as plain JSON besides.
    return {MEDIA: {"schema": Problem.model_json_schema()}}


def documented(*statuses: int) -> dict[int | str, dict[str, Any]]:
    """Return OpenAPI's entries for the problems that a route can answer with."""
    return {
        status: {"description": TITLES[status], "content": _written_out()} for status in statuses
    }
