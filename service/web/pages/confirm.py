"""The one page that a buyer sees: to confirm having read the cautions.

It is reached by a secret in a mail. Looking changes nothing, since mail scanners look too; the
button does. Whatever is not valid is answered alike, and no search engine or other site learns
of the address.
"""

from typing import Final

from fastapi.responses import HTMLResponse, Response

from documents import care_words
from documents.care_view import Teller
from documents.language import ENGLISH, Language, language, mark
from service.errors import NotFoundError
from service.given import CARE
from service.sending.confirming import Asked, asked_of, confirm
from service.sending.rows import papers_of
from service.sending.words import CAUTIONS
from service.web.dependencies import ClockOf, DatabaseOf
from service.web.pages.render import page
from service.web.parts import page_part

router = page_part("/confirm")
PRIVATE: Final = {
    "X-Robots-Tag": "noindex, nofollow, noarchive",
    "Referrer-Policy": "no-referrer",
    "Cache-Control": "no-store",
}
TITLE: Final = mark("The cautions for {dog}\u2019s hood")
SHEET: Final = mark("The whole sheet (PDF)")
BUTTON: Final = mark("I have read the cautions")
THANKS: Final = mark("Thank you. You confirmed this on {day}.")
NOT_VALID: Final = mark("This link is not valid, or no longer.")
ASK: Final = mark("Please answer the mail that you had it from.")


def _known(code: str) -> Language:
    try:
        return language(code)
    except ValueError:  # a language that there was when the mail was written
        return language(ENGLISH)


def _private(answer: Response) -> Response:
    answer.headers.update(PRIVATE)
    return answer


def _not_valid() -> Response:
    said = language(ENGLISH)
    return _private(page("confirm_fault.html", 404, said=said.say(NOT_VALID), ask=said.say(ASK)))


def _show(secret: str, asked: Asked) -> HTMLResponse:
    said = _known(asked.delivery.language)
    name = asked.order.asked["dog"]["name"]
    tell = Teller(said, name)
    at = asked.confirmed_at
    return page(
        "confirm.html",
        code=said.code,
        secret=secret,
        title=said.say(TITLE, dog=name or said.say(care_words.UNNAMED)),
        sheet=said.say(SHEET),
        button=said.say(BUTTON),
        cautions=said.say(CAUTIONS),
        lines=[tell.say(line) for line in (*care_words.NEVER, *care_words.SWALLOWED)],
        thanks=said.say(THANKS, day=said.date(at.date())) if at else "",
    )


@router.get("/{secret}")
def ask(secret: str, database: DatabaseOf, clock: ClockOf) -> Response:
    """Show the cautions and a button; nothing is written down."""
    try:
        with database.reading() as session:
            return _private(_show(secret, asked_of(session, secret, clock())))
    except NotFoundError:
        return _not_valid()


# No check where the form comes from: the secret alone is what it takes, and a browser that was
# told to keep the address to itself does not say.
@router.post("/{secret}")
def say_yes(secret: str, database: DatabaseOf, clock: ClockOf) -> Response:
    """Write down that the cautions were read."""
    try:
        with database.writing() as session:
            asked = confirm(session, secret, clock())
    except NotFoundError:
        return _not_valid()
    return _private(_show(secret, asked))


@router.get("/{secret}/sheet.pdf")
def sheet(secret: str, database: DatabaseOf, clock: ClockOf) -> Response:
    """Show the care sheet exactly as the mail carried it."""
    try:
        with database.reading() as session:
            asked = asked_of(session, secret, clock())
            papers = papers_of(session, asked.delivery)
    except NotFoundError:
        return _not_valid()
    kept = next((paper for paper in papers if paper.kind == CARE), None)
    if kept is None:
        return _not_valid()
    headers = {"Content-Disposition": f'inline; filename="{kept.name}"'}
    return _private(Response(kept.content, media_type=kept.media, headers=headers))
