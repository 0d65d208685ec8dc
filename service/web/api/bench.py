"""The bench on the wire: the work step by step, what is tapped, and the maker's pace."""

from typing import Annotated

from fastapi import Body

from service.bench.bodies import (
    AnswerOut,
    BenchOut,
    EventsIn,
    FollowIn,
    PaceOut,
    PlaceIn,
    StateOut,
)
from service.bench.keeping import desk_at, keep_events, paces_of_shop
from service.bench.stand import bench_out, state_out
from service.bench.turning import follow, set_place
from service.errands import Lane
from service.web.api.examples import BENCH_EVENTS, BENCH_FOLLOW, BENCH_PLACE
from service.web.dependencies import ClockOf, DatabaseOf, ErrandsOf
from service.web.parts import api_part
from service.web.problems import documented

router = api_part("bench")
Number = Annotated[str, "an order number"]
AT = "/orders/{number}/bench"


@router.get(AT, responses=documented(404, 409, 422))
def show_bench(
    number: Number, database: DatabaseOf, clock: ClockOf, errands: ErrandsOf
) -> BenchOut:
    """Show the work of a hood step by step, and where it stands."""
    with database.reading() as session:
        desk = desk_at(session, number)
    if desk.is_long:
        return errands.alone(Lane.PAPERS, lambda: bench_out(desk, clock()))
    return bench_out(desk, clock())


@router.get(f"{AT}/state", responses=documented(404, 409, 422))
def show_bench_state(number: Number, database: DatabaseOf, clock: ClockOf) -> StateOut:
    """Show where the work stands, without the steps."""
    with database.reading() as session:
        return state_out(desk_at(session, number), clock())


@router.post(f"{AT}/events", responses=documented(404, 409, 422))
def keep_bench_events(
    number: Number,
    batch: Annotated[EventsIn, Body(openapi_examples=BENCH_EVENTS)],
    database: DatabaseOf,
    clock: ClockOf,
) -> AnswerOut:
    """Keep what was tapped: in any order, and as often as it is sent, it is kept once."""
    return database.write(lambda session: keep_events(session, number, batch, clock()))


@router.post(f"{AT}/place", responses=documented(404, 409, 412, 422))
def set_bench_place(
    number: Number,
    asked: Annotated[PlaceIn, Body(openapi_examples=BENCH_PLACE)],
    database: DatabaseOf,
    clock: ClockOf,
) -> StateOut:
    """Say at which step the work stands: the steps before it are done, the others are not."""
    return database.write(
        lambda session: state_out(set_place(session, number, asked, clock()), clock())
    )


@router.post(f"{AT}/follow", responses=documented(404, 409, 412, 422))
def follow_the_rest(
    number: Number,
    asked: Annotated[FollowIn, Body(openapi_examples=BENCH_FOLLOW)],
    database: DatabaseOf,
    clock: ClockOf,
) -> BenchOut:
    """Work the rest as planned again from the piece on the hook."""
    return database.write(
        lambda session: bench_out(follow(session, number, asked, clock()), clock())
    )


@router.get("/bench/paces")
def show_paces(database: DatabaseOf) -> dict[str, PaceOut]:
    """Show the stitches a minute that the clock of the latest hoods measured; nothing is set."""
    with database.reading() as session:
        return paces_of_shop(session)
