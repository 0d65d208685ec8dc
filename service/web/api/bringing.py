"""Bringing in on the wire: keep a file, see what each line would do, do it."""

from typing import Annotated, Final

from fastapi import Body, Response

from service.bringing.bodies import BroughtOut, FileIn
from service.bringing.files import QUICK, brought, do, keep_file, look
from service.bringing.sheet import sample
from service.web.dependencies import ClockOf, DatabaseOf, ErrandsOf, IdOf
from service.web.parts import api_part
from service.web.problems import documented

router = api_part("bring in, take out", "/bring-in")
FILES: Final = {
    "orders": {
        "summary": "The sample file",
        "value": {"name": "orders.csv", "csv": sample().decode("utf-8-sig")},
    }
}


@router.get("/sample.csv", response_class=Response, responses={200: {"content": {"text/csv": {}}}})
def show_sample() -> Response:
    """Show a file to begin with."""
    headers = {"Content-Disposition": 'attachment; filename="hoodwright-sample.csv"'}
    return Response(sample(), media_type="text/csv; charset=utf-8", headers=headers)


@router.post("", status_code=201, responses=documented(422))
def keep_a_file(
    asked: Annotated[FileIn, Body(openapi_examples=FILES)],
    database: DatabaseOf,
    clock: ClockOf,
    errands: ErrandsOf,
    response: Response,
) -> BroughtOut:
    """Keep a file and look at it; nothing is brought in yet. A long one is looked at meanwhile."""
    now = clock()
    file_id, lines = keep_file(database, asked.name, asked.csv.encode(), asked.yarn, now)
    if lines <= QUICK:
        look(database, file_id, now)
    else:
        errands.begin(file_id, lambda tick: look(database, file_id, now, tick))
    response.headers["Location"] = f"/api/v1/bring-in/{file_id}"
    return brought(database, file_id, errands)


@router.get("/{file_id}", responses=documented(404, 422))
def show_a_file(file_id: IdOf, database: DatabaseOf, errands: ErrandsOf) -> BroughtOut:
    """Show what a file would do or has done, or how far it is."""
    return brought(database, file_id, errands)


@router.post("/{file_id}/do", responses=documented(404, 409, 412, 422))
def bring_a_file_in(
    file_id: IdOf, database: DatabaseOf, clock: ClockOf, errands: ErrandsOf
) -> BroughtOut:
    """Bring a file in, whole or not at all; a long one meanwhile."""
    now, known = clock(), brought(database, file_id, errands)
    if known.report is None or sum(known.report.counts.values()) > QUICK:
        errands.begin(file_id, lambda tick: do(database, file_id, now, tick))
    else:
        do(database, file_id, now)
    return brought(database, file_id, errands)
