"""The wording of mails as kept: the maker's own where there is one, else ours."""

from collections.abc import Mapping
from dataclasses import dataclass
from datetime import datetime
from typing import Final

from sqlmodel import Session

from documents.language import language
from service.errors import NotFoundError, TemplateFaultError, check_version
from service.models import MailTemplate
from service.sending.addresses import plain
from service.sending.filling import check, fill
from service.sending.kinds import MAILS
from service.sending.words import Source, default_source

NAMES: Final = {
    "buyer": "the buyer's name",
    "dog": "the dog's name",
    "whom": "the dog's name as the one to whom something is done; without a name “the dog”",
    "hoods": "how many hoods a quote is over, or nothing for one",
    "shop": "the name of your shop",
    "shop_email": "your e-mail address",
    "number": "the order's number",
    "due": "the due date, or nothing",
    "price": "the price, or nothing",
    "confirm_link": "the link by which the buyer confirms, or nothing",
}
"""What a template may name, and what each stands for."""
PARTS: Final = ("subject", "text", "html")
LONGEST_SUBJECT: Final = 200


@dataclass(frozen=True, slots=True)
class Kept:
    """A mail's templates.

    Attributes:
        version: 0 as long as they are ours.
    """

    source: Source
    version: int


def _known(kind: str, code: str) -> Source:
    """Return our own templates of a mail.

    Raises:
        NotFoundError: if there is no such mail or language.
    """
    if kind not in MAILS:
        raise NotFoundError(f"There is no such mail. There are: {', '.join(MAILS)}.")
    try:
        return default_source(kind, language(code))
    except ValueError as error:
        raise NotFoundError(str(error)) from error


def template_of(session: Session, kind: str, code: str) -> Kept:
    """Return the templates of a mail in a language.

    Raises:
        NotFoundError: if there is no such mail or language.
    """
    ours = _known(kind, code)
    row = session.get(MailTemplate, (kind, code))
    if row is None:
        return Kept(ours, 0)
    return Kept(Source(row.subject, row.text, row.html), row.version)


def check_source(source: Source) -> None:
    """Refuse templates that cannot be filled in; all that is wrong is told at once.

    Raises:
        TemplateFaultError: naming the part and the line.
    """
    wrong: dict[str, str] = {}
    for part in PARTS:
        try:
            check(part, getattr(source, part), frozenset(NAMES))
        except TemplateFaultError as error:
            wrong |= error.fields
    for part in PARTS:
        if not getattr(source, part).strip():
            wrong.setdefault(part, "Line 1: Please fill this in.")
    if wrong:
        raise TemplateFaultError(" ".join(wrong.values()), wrong)


def filled(source: Source, values: Mapping[str, str]) -> Source:
    """Return templates filled in.

    Raises:
        TemplateFaultError: if they cannot be.
    """
    return Source(
        subject=plain(fill("subject", source.subject, values), LONGEST_SUBJECT),
        text=fill("text", source.text, values).strip() + "\n",
        html=fill("html", source.html, values).strip() + "\n",
    )


def _row_at(session: Session, kind: str, code: str, version: int | None) -> MailTemplate | None:
    row = session.get(MailTemplate, (kind, code), with_for_update=True)
    changed = "These words were changed meanwhile. Load them again, then change them."
    check_version(version, row.version if row else 0, changed)
    return row


def save_template(
    session: Session, kind: str, code: str, source: Source, version: int | None, now: datetime
) -> int:
    """Keep the maker's own templates, made on a version; return the new version.

    Raises:
        NotFoundError, MissingVersionError, StaleError: as their names say.
        TemplateFaultError: if they cannot be filled in; then the old ones stay.
    """
    _known(kind, code)
    check_source(source)
    row = _row_at(session, kind, code, version)
    if row is None:
        row = MailTemplate(kind=kind, language=code, version=0, changed_at=now,
                           subject="", text="", html="")  # fmt: skip
    row.subject, row.text, row.html = source
    row.version += 1
    row.changed_at = now
    session.add(row)
    session.flush()
    return row.version


def reset_template(session: Session, kind: str, code: str, version: int | None) -> None:
    """Go back to our own templates of a mail.

    Raises:
        NotFoundError, MissingVersionError, StaleError: as their names say.
    """
    _known(kind, code)
    row = _row_at(session, kind, code, version)
    if row is not None:
        session.delete(row)
        session.flush()
