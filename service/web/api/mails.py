"""The words of mails, and how mail leaves."""

from typing import Annotated

from fastapi import Body, Query, Response

from documents.language import ENGLISH, languages
from service.sending.drafts import sample
from service.sending.kinds import MAILS
from service.sending.templates import check_source, reset_template, save_template, template_of
from service.sending.wire import (
    MailOut,
    TemplateIn,
    TemplateOut,
    WordsOut,
    mail_out,
    template_out,
)
from service.shop import shop_of
from service.web.api.examples import TEMPLATES
from service.web.dependencies import ClockOf, DatabaseOf, IfMatch, MailOf, etag
from service.web.parts import api_part
from service.web.problems import documented

router = api_part("mails")
Code = Annotated[str, Query(max_length=20, description="a language, such as `en`")]
Words = Annotated[TemplateIn, Body(openapi_examples=TEMPLATES)]


@router.get("/mail")
def show_mail(database: DatabaseOf, mail: MailOf) -> MailOut:
    """Show how mail leaves: through a server, or as files."""
    with database.reading() as session:
        return mail_out(mail, shop_of(session)[0].email)


@router.get("/mail-templates")
def list_templates(database: DatabaseOf) -> list[TemplateOut]:
    """List the words of all mails in all languages."""
    with database.reading() as session:
        return [
            template_out(kind, code, template_of(session, kind, code))
            for kind in MAILS
            for code in languages()
        ]


@router.post("/mail-templates/preview", responses=documented(422))
def preview_words(words: Words, database: DatabaseOf) -> WordsOut:
    """Fill words in with invented values; nothing is kept."""
    check_source(words.source())
    with database.reading() as session:
        filled = sample(session, words.source(), ENGLISH)
    return WordsOut(**filled._asdict())


@router.get("/mail-templates/{kind}", responses=documented(404, 422))
def show_template(
    kind: str, database: DatabaseOf, response: Response, language: Code = ENGLISH
) -> TemplateOut:
    """Show the words of a mail."""
    with database.reading() as session:
        kept = template_of(session, kind, language)
    response.headers["ETag"] = etag(kept.version)
    return template_out(kind, language, kept)


@router.put("/mail-templates/{kind}", responses=documented(404, 412, 422, 428))
def change_template(
    kind: str,
    words: Words,
    database: DatabaseOf,
    clock: ClockOf,
    version: IfMatch,
    response: Response,
    language: Code = ENGLISH,
) -> TemplateOut:
    """Keep the maker's own words; words that cannot be filled in leave the old ones."""
    with database.writing() as session:
        save_template(session, kind, language, words.source(), version, clock())
        kept = template_of(session, kind, language)
    response.headers["ETag"] = etag(kept.version)
    return template_out(kind, language, kept)


@router.delete("/mail-templates/{kind}", responses=documented(404, 412, 422, 428))
def forget_template(
    kind: str, database: DatabaseOf, version: IfMatch, language: Code = ENGLISH
) -> TemplateOut:
    """Go back to the words that Hoodwright brings along."""
    with database.writing() as session:
        reset_template(session, kind, language, version)
        return template_out(kind, language, template_of(session, kind, language))
