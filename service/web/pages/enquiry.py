"""The page by which a stranger asks for a hood: off until the maker opens it."""

from dataclasses import dataclass
from datetime import datetime
from typing import Any, Final

from fastapi import Request
from fastapi.responses import HTMLResponse, RedirectResponse, Response

from documents.language import Language, mark
from service.bodies import ShopIn
from service.db import Database
from service.errors import NotFoundError, TooManyError
from service.experience import prior_of
from service.owner.drawing import close_svg
from service.owner.enquiries import (
    TEXTS,
    dog_told,
    keep,
    lacking,
    numbers_told,
    typed,
    unit_of,
)
from service.owner.stamps import is_fair, name_of, stamp
from service.owner.words import Said, doubtful, said_of
from service.shop import shop_of
from service.web.dependencies import ClockOf, DatabaseOf
from service.web.pages.owner import PLACES
from service.web.pages.ownerdoor import (
    HEADERS,
    SentForm,
    address_of,
    admit,
    door_of,
    language_of,
    show,
)
from service.web.parts import page_part
from sizing.breeds import BREEDS
from sizing.doctor.learn import Prior
from sizing.dogs import Field

router = page_part("/ask")
SEE_OTHER: Final = 303
TRAP: Final = "website"
"""A field that no person sees; what fills it in is a program."""
_LACKING: Final = {
    "name": mark("Please write your name."),
    "email": mark("Please write your whole e-mail address, so that you can be answered."),
}
_TOO_LONG: Final = mark("That is more than fits here. Could you say it in fewer words, please?")
_BREEDS: Final = tuple(breed.name for breed in BREEDS)


@dataclass(frozen=True, slots=True)
class Desk:
    """What the page needs of the shop: its settings and the usual lengths."""

    shop: ShopIn
    prior: Prior
    spoken: Language

    @property
    def frames(self) -> str:
        """Return the origins whose pages may show this one inside."""
        return " ".join(self.shop.embed_in.split())


def _desk(request: Request, database: Database, now: datetime) -> Desk:
    """Return what the page needs.

    Raises:
        NotFoundError: if the maker has not opened it.
    """
    admit(request, now)
    with database.reading() as session:
        shop, prior = shop_of(session)[0], prior_of(session)
    if not shop.enquiries:
        raise NotFoundError("Nobody may ask here.")
    return Desk(shop, prior, language_of(request))


def _page(
    desk: Desk,
    told: dict[str, str],
    given: str,
    *,
    status: int = 200,
    said: dict[str, tuple[Said, ...]] | None = None,
    wrong: dict[str, str] | None = None,
    why: str = "",
) -> HTMLResponse:
    return show(
        "enquiry.html",
        desk.spoken,
        status,
        frames=desk.frames,
        shop=desk.shop.name,
        told=told,
        unit=unit_of(told) if told["unit"] else desk.shop.unit.value,
        stamp=given,
        said=said or {},
        wrong=wrong or {},
        why=why,
        places={field.value: PLACES[field.value] for field in Field},
        pictures=[
            close_svg(field.value, desk.spoken.say(PLACES[field.value].picture)) for field in Field
        ],
        breeds=_BREEDS,
        longest=TEXTS,
        trap=TRAP,
    )


@router.get("")
def enquiry_page(request: Request, database: DatabaseOf, clock: ClockOf) -> HTMLResponse:
    """Show the empty form."""
    now = clock()
    desk = _desk(request, database, now)
    return _page(desk, typed({}), stamp(door_of(request).key, now))


@router.get("/thanks")
def thanks(request: Request, database: DatabaseOf, clock: ClockOf) -> HTMLResponse:
    """Thank whoever asked."""
    desk = _desk(request, database, clock())
    return show("enquiry_thanks.html", desk.spoken, frames=desk.frames, shop=desk.shop.name)


def _thanked(request: Request) -> Response:
    query = request.url.query
    return RedirectResponse(
        f"/ask/thanks{'?' if query else ''}{query}", SEE_OTHER, headers=HEADERS
    )


def _wrong(told: dict[str, str], spoken: Language) -> dict[str, str]:
    """Return what is lacking or too long, by the field it stands in."""
    return {
        name: spoken.say(_TOO_LONG if long else _LACKING[name])
        for name, long in lacking(told).items()
    }


def _held_back(
    desk: Desk, told: dict[str, str], *, sure: bool, fair: bool
) -> dict[str, Any] | None:
    """Return what the page says instead of sending, or None where all may be sent."""
    if wrong := _wrong(told, desk.spoken):
        return {"status": 422, "wrong": wrong}
    numbers = numbers_told(told)
    said = said_of(numbers, dog_told(told), desk.prior, desk.spoken, missing=True, twice=False)
    if not sure and (doubtful(said) or numbers.unreadable):
        return {"said": said, "why": "sure"}
    return None if fair else {"why": "again"}


def _counted(request: Request, now: datetime) -> None:
    """Count an enquiry that is about to be kept.

    Raises:
        TooManyError: if too many came, from there or from all together.
    """
    door = door_of(request)
    wait = door.strangers.take(address_of(request), now) or door.all_strangers.take("", now)
    if wait:
        raise TooManyError(int(wait) + 1)


@router.post("")
def ask(request: Request, sent: SentForm, database: DatabaseOf, clock: ClockOf) -> Response:
    """Keep what a stranger asks for, or ask back once what cannot be read or looks odd."""
    now = clock()
    desk = _desk(request, database, now)
    if sent.get(TRAP):
        return _thanked(request)  # a program learns nothing from the answer
    told, given = typed({**sent, "language": desk.spoken.code}), sent.get("stamp", "")
    key = door_of(request).key
    fair = is_fair(key, given, now)
    if sent.get("do") == "look":  # the same in another language
        return _page(desk, told, given if fair else stamp(key, now))
    held = _held_back(desk, told, sure=sent.get("do") == "sure", fair=fair)
    if held is not None:
        return _page(desk, told, given if fair else stamp(key, now), **held)
    _counted(request, now)
    database.write(lambda session: keep(session, told, name_of(given), now))
    return _thanked(request)
