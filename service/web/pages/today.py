"""The start page: what to do next, one line and one link each."""

from dataclasses import dataclass
from datetime import date
from typing import Final

from fastapi import Request
from fastapi.responses import HTMLResponse

from service.listing import Sought, orders_like
from service.states import State
from service.today import Kind, TaskOut, today
from service.web.dependencies import ClockOf, DatabaseOf
from service.web.pages.account import untold
from service.web.pages.render import page
from service.web.pages.words import due_words
from service.web.parts import page_part
from service.web.visitor import is_maker

router = page_part()
MOST: Final = 30
BENCH: Final = (Kind.MAKE,)
"""What there is for a helper to do: the maker begins a hood, and the rest is about buyers."""


@dataclass(frozen=True, slots=True)
class TaskLine:
    """One thing to do: the verb stands out, the rest says what it is about."""

    verb: str
    rest: str
    link: str
    day: date | None
    near: str
    safe: bool
    pressing: bool


def _line(task: TaskOut, day: date) -> TaskLine:
    verb = "Go on" if task.kind in {Kind.MAKE, Kind.TAKE} else task.text.partition(" ")[0]
    rest = task.text.removeprefix(verb).strip()
    near = due_words(task.day, day, State.ENQUIRY) if task.due else ""
    return TaskLine(
        verb=verb,
        rest=rest,
        link=task.link,
        day=task.day,
        near=near,
        safe=not task.due,
        pressing=task.late or near.endswith("late"),
    )


def _at_the_bench(task: TaskOut) -> TaskOut:
    """Return a task as a helper is given it: it leads to the bench and not to the order."""
    return task.model_copy(update={"link": f"/orders/{task.numbers[0]}/bench"})


@router.get("/")
def today_page(request: Request, database: DatabaseOf, clock: ClockOf) -> HTMLResponse:
    """Show what to do next."""
    day = clock().date()
    with database.reading() as session:
        tasks = today(session, day)
        if not is_maker():
            tasks = [_at_the_bench(task) for task in tasks if task.kind in BENCH]
        any_order = bool(orders_like(session, Sought(most=1))[0])
        news = untold(session, request)
    return page(
        "today.html",
        tasks=[_line(task, day) for task in tasks[:MOST]],
        more=max(len(tasks) - MOST, 0),
        any_order=any_order,
        today=day,
        news=news,
    )
