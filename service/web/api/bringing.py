"""Bringing in on the wire: keep a file, see what each line would do, do it."""

from typing import Annotated, Final

from fastapi import Body, Response

from service.bringing.bodies import BroughtOut, FileIn
from service.bringing.files import begin, brought, keep_file
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
    content = asked.csv.encode()
    file_id = keep_file(database, errands, asked.name, content, asked.yarn, clock())
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
    begin(database, errands, file_id, clock())
    return brought(database, file_id, errands)
