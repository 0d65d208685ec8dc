"""Orders on the wire."""

from datetime import date
from typing import Annotated, Any

from fastapi import Body, Query, Response
from sqlmodel import Session

from service.bench.desk import desk_of
from service.bodies import MoveIn, OrderIn, OutcomeIn
from service.earning import EarningOut, earning
from service.fields import Money
from service.listing import PAGE, Sought, orders_like
from service.nextfit import SuggestionOut, suggestion_for
from service.orderout import OrderList, OrderOut, order_list, order_out
from service.orders import Found, change_order, found, move_order, order_by_number, standing, take
from service.outcomes import tell_outcome
from service.states import State
from service.web.api.examples import CHANGES, IN_HAND, MOVES, ORDERS, OUTCOMES
from service.web.api.whole import whole
from service.web.dependencies import (
    AnswersOf,
    ClockOf,
    DatabaseOf,
    IfMatch,
    cursor_of,
    etag,
    id_of,
    once,
)
from service.web.parts import api_part
from service.web.problems import documented
from service.web.written import written
from service.work import judged, replan_out
from service.workbodies import InHandIn, ReplanOut

router = api_part("orders", "/orders")
Number = Annotated[str, "an order number"]
IdempotencyKey = Annotated[str | None, once("the same key and order twice is one order")]


@router.post("", status_code=201, response_model=OrderOut, responses=documented(422))
def take_an_order(
    asked: Annotated[OrderIn, Body(openapi_examples=ORDERS)],
    database: DatabaseOf,
    clock: ClockOf,
    idempotency_key: IdempotencyKey = None,
) -> Response:
    """Take an order in. A number that stops the plan does not lose it: it has no plan yet."""

    def work(session: Session) -> Found:
        return take(session, asked, clock(), idempotency_key)

    taken = order_out(database.write(work))
    where = f"/api/v1/orders/{taken.number}"
    return written(taken, 201, {"Location": where, "ETag": etag(taken.version)})


@router.get("", response_model=OrderList, responses=documented(422))
def list_orders(
    database: DatabaseOf,
    state: State | None = None,
    q: Annotated[str, Query(max_length=200, description="words of buyer, dog or number")] = "",
    due_by: date | None = None,
    cursor: Annotated[str | None, Query(max_length=100)] = None,
    limit: Annotated[int, Query(ge=1, le=200)] = PAGE,
) -> Response:
    """List orders, newest first."""
    sought = Sought(state.value if state else "", q, due_by, id_of(cursor), limit)
    with database.asking() as connection:
        lines, more = orders_like(connection, sought)
    return written(order_list(lines, cursor_of(more)))


@router.get("/{number}", response_model=OrderOut, responses=documented(404, 422))
def show_order(number: Number, database: DatabaseOf, answers: AnswersOf) -> Response:
    """Show an order whole."""
    with database.asking() as connection:
        stands = standing(connection, number)
    answer = answers.get(stands)
    if answer is None:
        with database.reading() as session:
            stands = standing(session.connection(), number)
            order = order_out(found(session, number))
        answer = answers.keep(stands, order.model_dump_json().encode())
    headers = {"ETag": etag(stands.version)}
    return Response(answer, media_type="application/json", headers=headers)


@router.patch("/{number}", responses=documented(404, 409, 412, 422, 428))
def change_an_order(
    number: Number,
    patch: Annotated[dict[str, Any], Body(openapi_examples=CHANGES)],
    database: DatabaseOf,
    clock: ClockOf,
    version: IfMatch,
    response: Response,
) -> OrderOut:
    """Change an order by a merge patch (RFC 7396) and plan it anew."""
    with database.writing() as session:
        change_order(session, number, patch, version, clock())
        return whole(session, number, response)


@router.post("/{number}/state", responses=documented(404, 409, 412, 422, 428))
def move_an_order(
    number: Number,
    move: Annotated[MoveIn, Body(openapi_examples=MOVES)],
    database: DatabaseOf,
    clock: ClockOf,
    version: IfMatch,
    response: Response,
) -> OrderOut:
    """Move an order to another state."""
    with database.writing() as session:
        move_order(session, number, move.to, version, clock(), move.note)
        return whole(session, number, response)


@router.get("/{number}/earnings", responses=documented(404, 409, 422))
def show_earnings(
    number: Number,
    database: DatabaseOf,
    paid: Annotated[
        Money | None, Query(gt=0, description="a price; the order's own where it is left out")
    ] = None,
) -> EarningOut:
    """Say what a price leaves the maker for each hour of the order's work."""
    with database.reading() as session:
        return earning(found(session, number), paid)


@router.get("/{number}/fit-suggestion", responses=documented(404, 422))
def suggest_a_fit(number: Number, database: DatabaseOf) -> SuggestionOut | None:
    """Say what earlier hoods of the dog suggest; `from_fittings` of the order takes or leaves it.

    Null where they suggest nothing, or the hood is on the hook already.
    """
    with database.reading() as session:
        return suggestion_for(session, found(session, number))


@router.post("/{number}/in-hand", responses=documented(404, 409, 422))
def judge_work_in_hand(
    number: Number,
    asked: Annotated[InHandIn, Body(openapi_examples=IN_HAND)],
    database: DatabaseOf,
) -> ReplanOut:
    """Say what to do with the piece on the hook, and give the rows left to work."""
    with database.reading() as session:
        order = order_by_number(session, number)
        worked_by = desk_of(session, order).plan.plan
    ordered = OrderIn.model_validate(order.asked)
    return replan_out(judged(worked_by, asked, ordered.unit), ordered.terms)


@router.put("/{number}/outcome", responses=documented(404, 409, 412, 422, 428))
def tell_what_became_of_it(
    number: Number,
    told: Annotated[OutcomeIn, Body(openapi_examples=OUTCOMES)],
    database: DatabaseOf,
    clock: ClockOf,
    version: IfMatch,
    response: Response,
) -> OrderOut:
    """Keep what a finished hood took and how it fitted; later plans learn from it."""
    with database.writing() as session:
        tell_outcome(session, number, told, version, clock())
        return whole(session, number, response)
