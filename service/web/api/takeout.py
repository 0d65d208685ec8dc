"""Taking out on the wire: everything, always."""

from typing import Any, Final, Literal

from fastapi.responses import StreamingResponse

from service.db import Database
from service.errands import Errands, Lane
from service.orders import Clock
from service.takeout.out import MEDIA, name_of, taken_out
from service.web.dependencies import ClockOf, DatabaseOf, ErrandsOf
from service.web.parts import api_part
from service.web.problems import documented

router = api_part("bring in, take out", "/take-out")
FILE: Final[dict[int | str, dict[str, Any]]] = {
    200: {
        "content": {
            MEDIA["zip"]: {"schema": {"type": "string", "format": "binary"}},
            MEDIA["json"]: {"schema": {"type": "object"}},
        }
    }
}


def everything(database: Database, clock: Clock, errands: Errands, kind: str) -> StreamingResponse:
    """Return everything as a file to keep; one is written at a time."""
    now = clock()
    headers = {
        "Content-Disposition": f'attachment; filename="{name_of(kind, now)}"',
        "Cache-Control": "no-store",
    }
    whole = errands.alone(Lane.TAKE_OUT, lambda: taken_out(database, kind, now))
    return StreamingResponse(whole, media_type=MEDIA[kind], headers=headers)


@router.get(
    "/everything.{kind}", response_class=StreamingResponse, responses=documented(422) | FILE
)
def take_everything_out(
    kind: Literal["zip", "json"], database: DatabaseOf, clock: ClockOf, errands: ErrandsOf
) -> StreamingResponse:
    """Take everything out: all tables as CSV files in a zip, or as one JSON document."""
    return everything(database, clock, errands, kind)
