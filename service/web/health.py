"""What a machine asks a server about itself: does it live, may it be sent requests.

Both answer with a word and no more, for anybody may ask.
"""

from functools import cache
from http import HTTPStatus
from typing import TYPE_CHECKING

from anyio import CapacityLimiter, to_thread
from fastapi import Request
from fastapi.responses import JSONResponse

from service.web.parts import page_part

if TYPE_CHECKING:
    from service.keeping.ready import Readiness

router = page_part()
NOT_KEPT = {"Cache-Control": "no-store"}


@cache
def _aside() -> CapacityLimiter:
    """Return a thread's place of its own: those of the requests may all be taken."""
    return CapacityLimiter(1)


@router.get("/healthz")
async def lives() -> JSONResponse:
    """Answer as long as the process can; a supervisor starts it anew when it cannot."""
    return JSONResponse({"alive": True}, headers=NOT_KEPT)


@router.get("/readyz")
async def may_be_asked(request: Request) -> JSONResponse:
    """Answer 200 if requests can be served, and 503 with the reason if they cannot."""
    readiness: Readiness = request.app.state.readiness
    lacks = await to_thread.run_sync(readiness.lacks, limiter=_aside())
    status = HTTPStatus.SERVICE_UNAVAILABLE if lacks else HTTPStatus.OK
    return JSONResponse({"ready": not lacks, "lacks": lacks}, status, headers=NOT_KEPT)
