"""The maker's side: a link for the owner, and what the owner measured taken over or declined."""

from typing import Final

from fastapi import Request
from fastapi.responses import HTMLResponse, RedirectResponse, Response

from documents.language import language, mark
from service.bodies import OrderIn
from service.orders import order_by_number
from service.owner.asking import make_link, take_back
from service.owner.numbers import decline, take_over
from service.shop import shop_of
from service.web.dependencies import ClockOf, DatabaseOf, address_outside, is_near, whole_number
from service.web.pages.render import page
from service.web.pages.typed import Typed, Values, last, version_of
from service.web.parts import page_part

router = page_part("/orders")
SEE_OTHER: Final = 303
_MESSAGE: Final = mark(
    "Hello! So that the hood fits {dog}, could you measure once more, please? This page shows"
    " where the tape goes, and takes your numbers: {link} It is good until {day}."
)
_MESSAGE_UNNAMED: Final = mark(
    "Hello! So that the hood fits, could you measure your dog once more, please? This page shows"
    " where the tape goes, and takes your numbers: {link} It is good until {day}."
)


def _number(values: Values, name: str) -> int:
    return whole_number(last(values, name))


@router.post("/{number}/asklink")
def make(
    number: str, typed: Typed, request: Request, database: DatabaseOf, clock: ClockOf
) -> HTMLResponse:
    """Make a link and show it, this once: its secret is kept nowhere."""
    now = clock()
    with database.writing() as session:
        link, secret = make_link(session, number, last(typed, "language"), now)
        asked = OrderIn.model_validate(order_by_number(session, number).asked)
        shop, _ = shop_of(session)
    spoken = language(link.language)
    address = f"{address_outside(request)}/measure/{secret}"
    day, dog = spoken.date(link.expires_at.date()), asked.dog.name
    message = spoken.say(
        _MESSAGE if dog else _MESSAGE_UNNAMED, link=f"\n{address}\n", day=day, dog=dog
    )
    answer = page(
        "owner_link.html",
        number=number,
        dog=dog,
        address=address,
        message="\n".join(
            line.strip() for line in f"{message}\n\n{shop.name}".splitlines()
        ).strip(),
        until=link.expires_at,
        near=is_near(address),
    )
    answer.headers["Cache-Control"] = "no-store"
    return answer


@router.post("/{number}/takeback")
def revoke(number: str, typed: Typed, database: DatabaseOf, clock: ClockOf) -> Response:
    """Take a link back."""
    with database.writing() as session:
        take_back(session, number, _number(typed, "link"), clock())
    return RedirectResponse(f"/orders/{number}#ask-the-owner", SEE_OTHER)


@router.post("/{number}/takeover")
def take(number: str, typed: Typed, database: DatabaseOf, clock: ClockOf) -> Response:
    """Make the owner's numbers the order's own."""
    with database.writing() as session:
        numbers, seen = _number(typed, "numbers"), _number(typed, "seen")
        take_over(session, number, numbers, seen, version_of(typed), clock())
    return RedirectResponse(f"/orders/{number}#numbers", SEE_OTHER)


@router.post("/{number}/leave")
def leave(number: str, typed: Typed, database: DatabaseOf, clock: ClockOf) -> Response:
    """Leave the order as it is."""
    with database.writing() as session:
        decline(session, number, _number(typed, "numbers"), _number(typed, "seen"), clock())
    return RedirectResponse(f"/orders/{number}#numbers", SEE_OTHER)
