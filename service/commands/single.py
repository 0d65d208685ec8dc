"""`plan` and `ticket`: one dog's numbers in a file, worked out without any database."""

import argparse
import json
import sys
from datetime import date
from pathlib import Path
from typing import Any, Final

from pydantic import ValidationError

from documents import work_ticket
from documents.page import Paper
from documents.ticket_view import ticket_view
from service.bodies import OrderIn, RatesIn, ShopIn
from service.bringing.lines import Asked, Known, WrongLineError, asked_of
from service.bringing.planned import planned_alone
from service.bringing.sheet import Line, read_sheet
from service.commands.carrying import read_file, wrong_file
from service.errors import ServiceError, UnreadableError
from service.jobs import job_for
from service.keeping.archive import appearing
from service.keeping.faults import NotEmptyError, WrongFileError
from service.orders import utc_now
from service.planning import kept_plan
from service.plantext import plan_text
from service.wrongs import wrong_in
from sizing.errors import SizingError
from sizing.plan import Plan

_NOBODY: Final = "-"
_MOST: Final = 1_000_000


def _line(lines: tuple[Line, ...], wanted: int | None) -> Line:
    """Return the line that is wanted: of several it must be named."""
    if wanted is None and len(lines) == 1:
        return lines[0]
    found = next((line for line in lines if line.place == wanted), None)
    if found is None:
        places = ", ".join(str(line.place) for line in lines[:20])
        raise UnreadableError(f"Say which line with --line. There are: {places}.")
    return found


def _of_table(content: bytes, wanted: int | None, today: date) -> tuple[Asked, RatesIn]:
    line = _line(read_sheet(content, needed="neck girth").lines, wanted)
    cells = {"buyer": _NOBODY, **line.cells}
    try:
        asked = asked_of(Line(line.place, cells), Known(ShopIn(), {}), today)
    except WrongLineError as error:
        raise UnreadableError("The line cannot be read.", error.wrong) from error
    if asked.order is None:
        wrong = {"yarn": "Name the yarn, its fibres, ball metres and ball grams."}
        raise UnreadableError("The line cannot be read.", wrong)
    return asked, RatesIn()


def _of_json(content: bytes) -> tuple[Asked, RatesIn]:
    try:
        told: Any = json.loads(content)
    except (ValueError, RecursionError) as error:
        raise UnreadableError(f"This is no JSON: {str(error)[:200]}.") from error
    if not isinstance(told, dict):
        raise UnreadableError("An order is a JSON object; the API's page shows one.")
    try:
        rates = RatesIn.model_validate(told.pop("rates", {}))
        order = OrderIn.model_validate({"buyer": {"name": _NOBODY}, **told})
    except ValidationError as error:
        raise UnreadableError("Some of it cannot be read.", wrong_in(error, ())) from error
    return Asked(1, order.buyer, order.dog, order=order), rates


def _asked(arguments: argparse.Namespace, today: date) -> tuple[OrderIn, Plan, RatesIn]:
    """Return the order of a file and its plan.

    Raises:
        WrongFileError: if the file is wrong, or a number stops the plan.
    """
    path = Path(arguments.file)
    content = read_file(path, _MOST)
    try:
        if len(content) > _MOST:
            raise UnreadableError("The file is larger than one dog's numbers can be.")
        if content.lstrip(b"\xef\xbb\xbf \t\r\n").startswith(b"{"):
            asked, rates = _of_json(content)
        else:
            asked, rates = _of_table(content, arguments.line, today)
        made = planned_alone(asked, rates)
    except ServiceError as error:
        raise wrong_file(path, error) from error
    except WrongLineError as error:
        raise wrong_file(path, UnreadableError("There is no such hood.", error.wrong)) from error
    except SizingError as error:
        raise WrongFileError(f"{path}: {error}") from error
    if made.plan is None:
        raise WrongFileError(
            f"{path}: A number stops the plan. {made.stopping()} Correct it, or accept it with a"
            " reason (“odd because”, or “accepted” in JSON)."
        )
    return made.order, made.plan, rates


def plan(arguments: argparse.Namespace) -> int:
    """Print the plan of one dog's numbers."""
    order, made, _ = _asked(arguments, utc_now().date())
    if arguments.json:
        json.dump(kept_plan(made), sys.stdout, ensure_ascii=False, indent=1)
        print()
    else:
        print(plan_text(order, made))
    return 0


def ticket(arguments: argparse.Namespace) -> int:
    """Draw the work ticket of one dog's numbers."""
    today = utc_now().date()
    to = arguments.to or Path(arguments.file).with_suffix(".pdf")
    if to.exists():
        raise NotEmptyError(f"{to} is there already. Choose another name; it was left as it is.")
    order, made, _ = _asked(arguments, today)
    view = ticket_view(job_for(order, ShopIn(), "", today), made)
    with appearing(to) as part:
        part.write_bytes(work_ticket.render(view, Paper(arguments.paper)))
    print(f"Drawn: {to}")
    return 0
