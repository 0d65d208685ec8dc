"""The words of mails: looked at, changed, tried out, and given back."""

from typing import Annotated, Final

from fastapi import Query
from fastapi.responses import HTMLResponse, RedirectResponse, Response

from documents.language import ENGLISH, languages
from service.errors import StaleError, UnreadableError
from service.sending.drafts import sample
from service.sending.kinds import MAILS, offered
from service.sending.templates import (
    NAMES,
    PARTS,
    check_source,
    reset_template,
    save_template,
    template_of,
)
from service.sending.wire import TemplateIn, mail_out
from service.sending.words import Source
from service.shop import shop_of
from service.web.dependencies import ClockOf, DatabaseOf, MailOf
from service.web.pages.render import page
from service.web.pages.typed import Form, Typed, Values, last, read_body, version_of
from service.web.parts import page_part
from service.web.problems import fields_of, status_of

router = page_part("/mails")
SEE_OTHER: Final = 303
LABELS: Final = {"subject": "Subject", "text": "As plain text", "html": "As HTML"}
Code = Annotated[str, Query(max_length=20)]


@router.get("")
def mails_page(database: DatabaseOf, mail: MailOf) -> HTMLResponse:
    """Show how mail leaves, and the mails there are."""
    with database.reading() as session:
        shop, _ = shop_of(session)
        own = {
            (kind, code): template_of(session, kind, code).version > 0
            for kind in MAILS
            for code in languages()
        }
    return page(
        "mails.html",
        mails=MAILS,
        offered=offered(),
        languages=languages(),
        own=own,
        mail=mail_out(mail, shop.email),
    )


def _show(
    kind: str,
    code: str,
    form: Form,
    status: int = 200,
    *,
    banner: str = "",
    shown: Source | None = None,
    saved: bool = False,
) -> HTMLResponse:
    return page(
        "mail_form.html",
        status,
        kind=kind,
        name=MAILS[kind].name,
        language=code,
        form=form,
        banner=banner,
        shown=shown,
        saved=saved,
        labels=LABELS,
        names=NAMES,
        own=form.text("version") != "0",
    )


@router.get("/{kind}")
def words_page(
    kind: str, database: DatabaseOf, language: Code = ENGLISH, saved: str = ""
) -> HTMLResponse:
    """Show the words of a mail, to be changed."""
    with database.reading() as session:
        kept = template_of(session, kind, language)
    values: Values = {part: (str(getattr(kept.source, part)),) for part in PARTS}
    form = Form(values | {"version": (str(kept.version),)})
    return _show(kind, language, form, saved=bool(saved))


def _source(typed: Values) -> Source:
    tree = {part: typed.get(part, ("",))[-1] for part in PARTS}
    return read_body(TemplateIn, tree, {}, PARTS).source()


@router.post("/{kind}")
def save(
    kind: str, typed: Typed, database: DatabaseOf, clock: ClockOf, language: Code = ENGLISH
) -> Response:
    """Keep the words, show them filled in, or go back to ours, as the button says."""
    with database.reading() as session:
        kept = template_of(session, kind, language)
    do, version = last(typed, "do"), version_of(typed)
    try:
        if do == "reset":
            with database.writing() as session:
                reset_template(session, kind, language, version)
        elif do == "try":
            check_source(_source(typed))
            with database.reading() as session:
                shown = sample(session, _source(typed), language)
            return _show(kind, language, Form(typed), shown=shown)
        else:
            with database.writing() as session:
                save_template(session, kind, language, _source(typed), version, clock())
    except StaleError as error:
        now = {part: getattr(kept.source, part) for part in PARTS}
        form = Form(typed | {"version": (str(kept.version),)}, now=now)
        return _show(kind, language, form, status_of(error), banner=str(error))
    except UnreadableError as error:
        return _show(kind, language, Form(typed, fields_of(error)), status_of(error))
    return RedirectResponse(f"/mails/{kind}?language={language}&saved=1", SEE_OTHER)
