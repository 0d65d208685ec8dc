"""What can be sent: the papers, and the mails that carry them.

A new paper is one line in `PAPERS`; the mails that carry it are offered from then on.
"""

from collections.abc import Callable
from dataclasses import dataclass
from typing import Final

from documents.page import Paper
from service.bodies import ShopIn
from service.errors import NotFoundError
from service.given import CARE
from service.orders import Found
from service.paperwork import care_paper, guide, quote

PDF: Final = "application/pdf"


@dataclass(frozen=True, slots=True)
class PaperKind:
    """A paper that can be sent.

    Attributes:
        name: what the maker calls it.
        draw: makes the bytes of it for an order, a shop and a paper size, in a language.
        media: the media type of the bytes.
        file: the name of the file without the order's number and the ending.
    """

    name: str
    draw: Callable[[Found, ShopIn, Paper, str], bytes]
    file: str
    media: str = PDF


@dataclass(frozen=True, slots=True)
class MailKind:
    """A mail that can be sent.

    Attributes:
        name: what the maker calls it.
        papers: the kinds of its papers; all must be there for the mail to be offered.
        confirms: whether the buyer is asked to confirm having read the cautions.
    """

    name: str
    papers: tuple[str, ...]
    confirms: bool = False


PAPERS: Final[dict[str, PaperKind]] = {
    CARE: PaperKind("Care and supervision sheet", care_paper, "care-sheet"),
    "quote": PaperKind("Quote", quote, "quote"),
    "guide": PaperKind("Measuring guide", guide, "measuring-guide"),
}
MAILS: Final[dict[str, MailKind]] = {
    "care": MailKind("Care and supervision sheet", (CARE,), confirms=True),
    "quote": MailKind("Quote", ("quote",)),
    "guide": MailKind("Measuring guide", ("guide",)),
    "on-its-way": MailKind("Your hood is on its way", (CARE,), confirms=True),
}


def offered() -> dict[str, MailKind]:
    """Return the mails whose papers there are."""
    return {kind: mail for kind, mail in MAILS.items() if PAPERS.keys() >= set(mail.papers)}


def mail_kind(kind: str) -> MailKind:
    """Return a mail that is offered.

    Raises:
        NotFoundError: if there is none of that kind.
    """
    mail = offered().get(kind)
    if mail is None:
        raise NotFoundError(f"There is no such mail. There are: {', '.join(offered())}.")
    return mail


def paper_kind(kind: str) -> PaperKind:
    """Return a kind of paper.

    Raises:
        NotFoundError: if there is none of that kind.
    """
    if kind not in PAPERS:
        raise NotFoundError(f"There is no such paper. There are: {', '.join(PAPERS)}.")
    return PAPERS[kind]
