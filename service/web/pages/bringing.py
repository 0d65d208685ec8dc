"""Bring in: choose a file, see what each line will do, do it."""

from typing import Final

from fastapi import Request
from fastapi.concurrency import run_in_threadpool
from fastapi.responses import HTMLResponse, RedirectResponse, Response
from starlette.datastructures import UploadFile

from service.bringing.bodies import BroughtOut, BroughtState, Kind
from service.bringing.columns import GROUPS
from service.bringing.files import MOST_SENT, begin, brought, keep_file, look_again
from service.bringing.sheet import MOST_LINES, sample
from service.db import Database
from service.errands import Errands
from service.errors import NotAllowedError, StaleError, UnreadableError
from service.orders import Clock
from service.shelf import shelf
from service.web.dependencies import ClockOf, DatabaseOf, ErrandsOf, IdOf
from service.web.pages.render import page
from service.web.pages.typed import Typed, last
from service.web.parts import page_part
from service.web.problems import status_of
from service.web.sentform import form_of

router = page_part("/bring-in")
SEE_OTHER: Final = 303
_MEGABYTE: Final = 1_000_000


def _show(database: Database, status: int = 200, wrong: str = "", yarn: str = "") -> HTMLResponse:
    with database.reading() as session:
        yarns = list(dict.fromkeys(one.yarn.name for one in shelf(session)))
    return page(
        "bring_in.html",
        status,
        groups=GROUPS,
        yarns=yarns,
        yarn=yarn,
        wrong=wrong,
        most_lines=f"{MOST_LINES:,}",
        megabytes=MOST_SENT // _MEGABYTE,
    )


@router.get("")
def bring_in_page(database: DatabaseOf) -> HTMLResponse:
    """Show the form for a file, the columns it can have, and what can be taken out."""
    return _show(database)


async def _file(request: Request, typed: Typed) -> tuple[str, bytes, str]:
    """Return the chosen file's name and content, and the yarn beside it."""
    form = await form_of(request)
    chosen, name, content = form.get("file"), "", b""
    if isinstance(chosen, UploadFile):
        name, content = chosen.filename or "", await chosen.read(MOST_SENT + 1)
    return name, content, last(typed, "yarn")


@router.post("")
async def choose(
    request: Request, typed: Typed, database: DatabaseOf, clock: ClockOf, errands: ErrandsOf
) -> Response:
    """Keep a file and look at it; a long one meanwhile."""
    name, content, yarn = await _file(request, typed)
    return await run_in_threadpool(_look, name, content, yarn, database, clock, errands)


def _look(
    name: str, content: bytes, yarn: str, database: Database, clock: Clock, errands: Errands
) -> Response:
    try:
        file_id = keep_file(database, errands, name, content, yarn, clock())
    except UnreadableError as error:
        return _show(database, status_of(error), str(error), yarn)
    return RedirectResponse(f"/bring-in/{file_id}", SEE_OTHER)


def _told(known: BroughtOut, status: int = 200, wrong: str = "") -> HTMLResponse:
    counts = known.report.counts if known.report else {}
    answer = page(
        "brought.html",
        status,
        file=known,
        report=known.report,
        counts=[(words, counts[kind]) for kind, words in _WORDS if counts.get(kind)],
        refused=counts.get(Kind.REFUSED, 0),
        wrong=wrong,
        whole=sum(counts.values()),
        State=BroughtState,
    )
    if known.state is BroughtState.WORKING:
        answer.headers["Refresh"] = "2"
    return answer


_WORDS: Final = (
    (Kind.REFUSED, "refused"),
    (Kind.ORDER, "orders"),
    (Kind.DOG, "dogs without an order"),
    (Kind.BUYER, "buyers alone"),
    (Kind.AGAIN, "brought in before"),
)


@router.get("/sample.csv")
def sample_file() -> Response:
    """Return a file to begin with."""
    headers = {"Content-Disposition": 'attachment; filename="hoodwright-sample.csv"'}
    return Response(sample(), media_type="text/csv; charset=utf-8", headers=headers)


@router.get("/{file_id}")
def file_page(file_id: IdOf, database: DatabaseOf, errands: ErrandsOf) -> HTMLResponse:
    """Show what a file will do or has done, or how far it is."""
    return _told(brought(database, file_id, errands))


@router.post("/{file_id}/do")
def bring_in(
    file_id: IdOf, typed: Typed, database: DatabaseOf, clock: ClockOf, errands: ErrandsOf
) -> Response:
    """Bring the file in; a long one meanwhile."""
    del typed  # read for where it comes from
    now = clock()
    try:
        begin(database, errands, file_id, now)
    except (NotAllowedError, StaleError) as error:
        look_again(database, errands, file_id, now)
        return _told(brought(database, file_id, errands), status_of(error), str(error))
    return RedirectResponse(f"/bring-in/{file_id}", SEE_OTHER)
