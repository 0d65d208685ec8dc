"""The queue on the wire, and what one more hood would do to it."""

from typing import Annotated

from fastapi import Body

from service.capacitybodies import QueueOut, TrialIn, TrialOut
from service.queue import queue, queue_out, trial
from service.web.api.examples import TRIALS
from service.web.dependencies import ClockOf, DatabaseOf
from service.web.parts import api_part
from service.web.problems import documented

router = api_part("queue", "/queue")


@router.get("")
def show_queue(database: DatabaseOf, clock: ClockOf) -> QueueOut:
    """Show the hoods to make, in the order they are worked on, with the dates to promise."""
    with database.reading() as session:
        return queue_out(queue(session), clock().date())


@router.post("/trials", responses=documented(422))
def try_one_more(
    asked: Annotated[TrialIn, Body(openapi_examples=TRIALS)], database: DatabaseOf, clock: ClockOf
) -> TrialOut:
    """Say when one more hood could be with its buyer, and whose day it moves back."""
    with database.reading() as session:
        return trial(session, asked, clock().date())
