"""The owner's page: how to measure one dog, what is typed, and a kind word beside each number."""

from dataclasses import dataclass
from datetime import datetime
from typing import Any, Final

from fastapi import Request
from fastapi.responses import HTMLResponse, JSONResponse, RedirectResponse, Response

from documents.language import Language, mark
from service.db import Database
from service.errors import NotAllowedError, NotFoundError
from service.owner.asking import WAITING, Asked, asked_of
from service.owner.drawing import CROWN, HEAD, close_svg
from service.owner.numbers import send
from service.owner.readings import NAMES, Told, told_of, typed_again
from service.owner.words import Said, doubtful, said_of
from service.web.dependencies import ClockOf, DatabaseOf
from service.web.pages.ownerdoor import (
    HEADERS,
    SentForm,
    admit,
    language_of,
    missed,
    show,
)
from service.web.parts import page_part
from sizing.dogs import Field

router = page_part("/measure")
SEE_OTHER: Final = 303


@dataclass(frozen=True, slots=True)
class Place:
    """Where one tape goes.

    Attributes:
        title: what is measured.
        how: where the tape goes.
        picture: what the drawing shows, for who cannot see it.
    """

    title: str
    how: str
    picture: str


PLACES: Final = {
    Field.NECK_LENGTH.value: Place(
        mark("Along the neck"),
        mark("Down the side of the neck: from just under the ear to where the collar shall end."),
        mark("The tape runs down the side of the neck, from under the ear."),
    ),
    Field.NECK_GIRTH.value: Place(
        mark("Round the neck"),
        mark("All the way round the middle of the neck. Two fingers fit under the tape."),
        mark("The tape lies round the middle of the neck."),
    ),
    Field.NAPE_LENGTH.value: Place(
        mark("Up the back of the head"),
        mark("From where the neck begins, up the back of the head, to the top between the ears."),
        mark("The tape runs from the neck up the back of the head to the top."),
    ),
    Field.FACE_GIRTH.value: Place(
        mark("Round the face"),
        mark(
            "Under the chin, up the cheeks and over the top of the head, in front of the ears. Not"
            " round the muzzle."
        ),
        mark("The tape lies under the chin and goes over the top of the head."),
    ),
    CROWN: Place(
        mark("Over the top of the head"),
        mark("From the top between the ears, forward to the brow."),
        mark("The tape runs over the top of the head to the brow."),
    ),
    HEAD: Place(
        mark("Round the widest part of the head"),
        mark(
            "From the back of the head, down over the cheeks and round: what the collar must pass."
        ),
        mark("The tape goes slanting round the widest part of the head."),
    ),
}
NEEDED: Final = tuple(field.value for field in Field)


def _asked(request: Request, secret: str, database: Database, now: datetime) -> Asked:
    admit(request, now, secret)
    try:
        with database.reading() as session:
            return asked_of(session, secret, now)
    except NotFoundError:
        missed(request, now)
        raise


def _form(
    asked: Asked,
    spoken: Language,
    values: dict[str, str],
    said: dict[str, tuple[Said, ...]],
    **more: Any,  # noqa: ANN401 - what the template shows besides
) -> HTMLResponse:
    pictures = {name: close_svg(name, spoken.say(place.picture)) for name, place in PLACES.items()}
    return show(
        "owner_measure.html",
        spoken,
        **{"status": 200, "ask_sure": False, "wrong": False, "sent": False, **more},
        values={name: values.get(name, "") for name in NAMES},
        said=said,
        places=PLACES,
        needed=NEEDED,
        pictures=pictures,
        dog=asked.order.dog.name,
        shop=asked.shop,
    )


def _closed(asked: Asked, spoken: Language) -> HTMLResponse:
    return show("owner_done.html", spoken, dog=asked.order.dog.name, shop=asked.shop)


@router.get("/{secret}")
def measure_page(
    secret: str, request: Request, database: DatabaseOf, clock: ClockOf
) -> HTMLResponse:
    """Show how to measure, and what this link has sent so far."""
    asked = _asked(request, secret, database, clock())
    spoken = language_of(request, asked.link.language)
    if not asked.open:
        return _closed(asked, spoken)
    waits = asked.sent is not None and asked.sent.state == WAITING
    values = typed_again(asked.sent.told) if asked.sent and waits else {}
    unit = {"unit": asked.order.unit.value}
    told = told_of(values, asked.order.dog, asked.order.unit)
    said = said_of(told, asked.order.dog, asked.prior, spoken) if values else {}
    return _form(asked, spoken, unit | values, said, sent=waits)


def _held_back(told: Told, said: dict[str, tuple[Said, ...]], do: str) -> dict[str, Any] | None:
    """Return what the page says instead of sending, or None where all may be sent."""
    if do not in {"send", "sure"}:
        return {}
    if told.unreadable or told.empty:
        return {"status": 422, "wrong": True}
    if do == "send" and doubtful(said):
        return {"ask_sure": True}
    return None


@router.post("/{secret}")
def measured(
    secret: str, request: Request, sent: SentForm, database: DatabaseOf, clock: ClockOf
) -> Response:
    """Keep the numbers beside the order, or ask back first what looks odd."""
    now = clock()
    asked = _asked(request, secret, database, now)
    spoken = language_of(request, asked.link.language)
    told, do = told_of(sent, asked.order.dog, asked.order.unit), sent.get("do", "")
    said = said_of(told, asked.order.dog, asked.prior, spoken, missing=do == "send")
    held = _held_back(told, said, do)
    if asked.open and held is not None:
        return _form(asked, spoken, {**sent, "unit": told.unit.value}, said, **held)
    try:
        with database.writing() as session:
            send(session, secret, told, now)
    except NotAllowedError:
        return _closed(asked, spoken)
    where = f"/measure/{secret}"
    chosen = request.query_params.get("language", "")
    query = f"?language={spoken.code}" if chosen == spoken.code else ""
    return RedirectResponse(f"{where}{query}#sent", SEE_OTHER, headers=HEADERS)


@router.post("/{secret}/look")
def look(
    secret: str, request: Request, sent: SentForm, database: DatabaseOf, clock: ClockOf
) -> JSONResponse:
    """Say what there is to say about the numbers typed so far; keep nothing."""
    asked = _asked(request, secret, database, clock())
    spoken = language_of(request, asked.link.language)
    typed = told_of(sent, asked.order.dog, asked.order.unit)
    said = said_of(typed, asked.order.dog, asked.prior, spoken)
    told = {
        name: [{"kind": one.kind, "text": one.text} for one in found]
        for name, found in said.items()
    }
    return JSONResponse(told, headers={**HEADERS, "X-Content-Type-Options": "nosniff"})
