"""The bench: one row at a time, for the phone beside the yarn."""

from pathlib import Path
from typing import Final
from uuid import uuid4

from fastapi.responses import FileResponse, HTMLResponse, RedirectResponse, Response
from pydantic import ValidationError

from service.bench.bodies import EventIn, EventsIn, FollowIn, PlaceIn
from service.bench.desk import Desk
from service.bench.keeping import desk_at, keep_events
from service.bench.turning import follow, moment_for, set_place
from service.errands import Lane
from service.errors import UnreadableError
from service.web.dependencies import ClockOf, DatabaseOf, ErrandsOf
from service.web.pages.benchview import bench_view
from service.web.pages.inhand import FIELDS
from service.web.pages.render import page
from service.web.pages.typed import Typed, Values, last, read_body, tree_of
from service.web.parts import page_part

router = page_part()
SEE_OTHER: Final = 303
_STATIC: Final = Path(__file__).parent.parent / "static"
_WORKER: Final = {
    # Under the root, so that it may answer for the pages of orders; and never an old one.
    "Cache-Control": "no-cache",
    "Content-Security-Policy": "default-src 'none'; connect-src 'self'",
    "X-Content-Type-Options": "nosniff",
}


def _show(desk: Desk, clock: ClockOf, wrong: str = "", typed: str = "") -> HTMLResponse:
    view = bench_view(desk, clock())
    return page(
        "bench.html",
        422 if wrong else 200,
        view=view,
        told=view.told.model_dump(mode="json"),
        number=desk.order.number,
        wrong=wrong,
        typed=typed,
        fresh=lambda: str(uuid4()),
    )


@router.get("/bench-worker.js")
def worker() -> FileResponse:
    """Serve the script that keeps the bench at hand without a connection."""
    return FileResponse(_STATIC / "bench-worker.js", media_type="text/javascript", headers=_WORKER)


@router.get("/orders/{number}/bench")
def bench_page(
    number: str, database: DatabaseOf, clock: ClockOf, errands: ErrandsOf
) -> HTMLResponse:
    """Show the step in hand."""
    with database.reading() as session:
        desk = desk_at(session, number)
    if desk.is_long:
        return errands.alone(Lane.PAPERS, lambda: _show(desk, clock))
    return _show(desk, clock)


@router.post("/orders/{number}/bench")
def tap(number: str, typed: Typed, database: DatabaseOf, clock: ClockOf) -> Response:
    """Keep one tap; what cannot be read is said, and the step stays."""
    with database.reading() as session:
        desk = desk_at(session, number)
    try:
        event = EventIn.model_validate(_event(typed, desk, clock))
    except ValidationError as error:
        message = "This tap cannot be read. Load the bench again."
        raise UnreadableError(message) from error
    batch = EventsIn(events=[event])
    answer = database.write(lambda session: keep_events(session, number, batch, clock()))
    if answer.refused:
        return _show(desk, clock, " ".join(answer.refused.values()), last(typed, "measured"))
    return RedirectResponse(f"/orders/{number}/bench", SEE_OTHER)


def _event(typed: Values, desk: Desk, clock: ClockOf) -> dict[str, object]:
    kept = {name: last(typed, name) for name in ("id", "kind", "plan", "step", "measured")}
    undoes = [uid for text in typed.get("undoes", ()) for uid in text.split()]
    return {**kept, "undoes": undoes, "at": moment_for(desk, clock())}


@router.post("/orders/{number}/bench/place")
def place(number: str, typed: Typed, database: DatabaseOf, clock: ClockOf) -> Response:
    """Let the work stand at another step."""
    values = {name: (last(typed, name),) for name in ("id", "plan", "step")}
    asked = read_body(PlaceIn, {name: texts[0] for name, texts in values.items()}, {}, values)
    database.write(lambda session: set_place(session, number, asked, clock()))
    return RedirectResponse(f"/orders/{number}/bench", SEE_OTHER)


@router.post("/orders/{number}/bench/follow")
def follow_from_here(number: str, typed: Typed, database: DatabaseOf, clock: ClockOf) -> Response:
    """Work the rest as planned again."""
    piece, wrong = tree_of(typed, FIELDS)
    tree = {"id": last(typed, "id"), "plan": last(typed, "plan"), "piece": piece}
    asked = read_body(FollowIn, tree, wrong, FIELDS)
    database.write(lambda session: follow(session, number, asked, clock()))
    return RedirectResponse(f"/orders/{number}/bench", SEE_OTHER)
