"""What was typed when a sign-in had ended: it goes along through signing in, and is shown again.

It is kept nowhere: it stands on the page that asks for the password, comes back with it, and
stands on the page after that. Only whoever's form it was gets it: each form says whose it is, by
a mark that no other account and no other site can make.
"""

import json
from dataclasses import asdict, dataclass
from hmac import compare_digest
from typing import Final
from urllib.parse import quote_plus

from fastapi import Request
from fastapi.responses import HTMLResponse

from service.web.known import mark_of
from service.web.pages.render import page, token_field
from service.web.pages.troublepage import SECRET
from service.web.visitor import FIELD, WHOSE, Visitor

NAME: Final = "carried"
"""The field of the form for signing in that it goes along in."""
MOST: Final = 120_000
"""Bytes as a form sends them: six times the longest order, and with a name and a password within
what a form may have. What is longer still stands in the browser's form."""
SILENT: Final = ("key", "version", "draft", "do", "unit")
"""Fields that nobody typed."""


@dataclass(frozen=True, slots=True)
class Carried:
    """A form that was sent in vain.

    Attributes:
        to: the address it was sent to.
        token: of the sign-in that it was made in.
        whose: the mark of the account that it was made for.
        fields: names and texts, in their order.
    """

    to: str
    token: str
    whose: str
    fields: tuple[tuple[str, str], ...]

    @property
    def text(self) -> str:
        """Return it as a field's text."""
        return json.dumps(asdict(self), ensure_ascii=False)

    @property
    def shown(self) -> list[tuple[str, str]]:
        """Return what somebody typed."""
        return [(name, text) for name, text in self.fields if text and name not in SILENT]


def carried_of(request: Request, sent: list[tuple[str, object]]) -> Carried | None:
    """Return what can be carried of a form, or None: of no form of ours, a file, or a password."""
    texts = [(name, text) for name, text in sent if isinstance(text, str)]
    own = {name: text for name, text in texts if name in {FIELD, WHOSE}}
    fields = tuple((name, text) for name, text in texts if name not in own)
    secret = any(part in name.lower() for name, _ in fields for part in SECRET)
    if len(texts) < len(sent) or len(own) < 2 or not fields or secret:  # noqa: PLR2004 - both
        return None
    query = f"?{request.url.query}" if request.url.query else ""
    found = Carried(f"{request.url.path}{query}", own[FIELD], own[WHOSE], fields)
    return found if len(quote_plus(found.text)) <= MOST else None


def read_carried(text: str) -> Carried | None:
    """Return what came along with a password, or None where nothing of ours did."""
    if len(text) > MOST:
        return None
    try:
        told = json.loads(text)
        fields = tuple((str(name), str(typed)) for name, typed in told["fields"])
        found = Carried(str(told["to"]), str(told["token"]), str(told["whose"]), fields)
    except (TypeError, ValueError, KeyError):
        return None
    ours = found.to.startswith("/") and not found.to.startswith(("//", "/\\", "/sign-"))
    return found if ours and found.to.isprintable() else None


def is_theirs(carried: Carried, account_id: int, kept: str) -> bool:
    """Return whether a form was made for an account.

    Args:
        carried: the form.
        account_id: of the account.
        kept: what is kept of its password.
    """
    mark = mark_of(account_id, kept, carried.token)
    return compare_digest(mark.encode(), carried.whose.encode())


def page_of(carried: Carried, here: Visitor) -> HTMLResponse:
    """Return the page on which it is shown to whoever signed in, to be sent by one press."""
    own = token_field(here.token, here.mark)
    return page("carried.html", carried=carried, token=lambda: own)
