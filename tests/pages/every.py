"""Every page there is, with an address of each; a page route that is not here fails a test."""

import re
from datetime import datetime
from importlib import import_module
from pkgutil import iter_modules

from service.db import Database
from service.drafts import keep_draft
from service.errands import Lane
from service.models import Errand
from service.owner.asking import make_link
from service.owner.enquiries import keep, typed
from service.shop import save_shop, shop_of
from service.together import join
from service.web import pages

PAGES: dict[str, tuple[str, ...]] = {
    "/": ("/",),
    "/account": ("/account",),
    "/accounts": ("/accounts",),
    "/ask": ("/ask",),
    "/ask/thanks": ("/ask/thanks",),
    "/bring-in": ("/bring-in",),
    "/buyers": ("/buyers",),
    "/buyers/{buyer_id}": ("/buyers/1",),
    "/figures": ("/figures",),
    "/enquiries": ("/enquiries",),
    "/enquiries/{enquiry_id}": ("/enquiries/1",),
    "/mails": ("/mails",),
    "/mails/{kind}": ("/mails/care",),
    "/measure/{secret}": ("/measure/{secret}",),
    "/orders": ("/orders", "/orders?q=nobody"),
    "/orders/new": (
        "/orders/new", "/orders/new?again=2027-0001", "/orders/new?known=fenwright",
        "/orders/new?again=2027-0004&with=2027-0004", "/orders/new?draft=1",
    ),
    # In every state: to settle, with a plan, on the hook, finished, one of several.
    "/orders/{number}": (
        "/orders/2027-0001", "/orders/2027-0003", "/orders/2027-0005", "/orders/2027-0006",
    ),
    "/orders/{number}/bench": ("/orders/2027-0001/bench",),
    "/orders/{number}/edit": ("/orders/2027-0002/edit",),
    "/orders/{number}/in-hand": ("/orders/2027-0001/in-hand",),
    "/orders/{number}/papers": ("/orders/2027-0006/papers",),
    "/orders/{number}/papers/{kind}": ("/orders/2027-0006/papers/care",),
    "/queue": ("/queue",),
    "/queue/calendar": ("/queue/calendar",),
    "/shop": ("/shop",),
    "/tickets": ("/tickets?to=2027-03-31",),
    # Broken off, and drawn.
    "/tickets/prints/{print_id}": ("/tickets/prints/1", "/tickets/prints/2"),
    "/yarns": ("/yarns",),
    "/yarns/shopping": ("/yarns/shopping?asked=1",),
    "/yarns/{yarn_id}": ("/yarns/1",),
}  # fmt: skip
FAULTS = ("/nothing", "/orders/2027-0099", "/measure/none", "/confirm/none")
ELSEWHERE = {
    "/docs": "as heavy as the API is large",
    "/sign-in": "whoever is signed in is led on",
    "/bring-in/{file_id}": "a file must be brought first",
    "/confirm/{secret}": "a paper must be sent first",
    "/orders/{number}/papers/{kind}/letter": "a letter, shown inside the page of its papers",
}
"""Pages that need more than an address; tests/pages/test_every_state.py looks at them."""
FILES = re.compile(r"\.(js|csv|ics|pdf|txt)$")


def routes() -> set[str]:
    """The addresses that pages are got from."""
    names = (one.name for one in iter_modules(pages.__path__))
    modules = [import_module(f"{pages.__name__}.{name}") for name in names]
    found = [one for part in modules if hasattr(part, "router") for one in part.router.routes]
    gotten = {one.path for one in found if "GET" in one.methods}
    return {path for path in gotten if not FILES.search(path)}


def made_ready(database: Database, now: datetime) -> str:
    """Make what the addresses name, in the demo shop; return the secret of an owner's link."""
    with database.writing() as session:
        shop, version = shop_of(session)
        save_shop(session, shop.model_copy(update={"enquiries": True}), version)
        told = typed({"name": "Perpetua Quill", "email": "perpetua@quill.example", "dog": "Fig"})
        keep(session, told, "a-key", now)
        keep_draft(session, "a-key", {"dog.name": ["Bramble"]}, 0, now)
        join(session, "2027-0006", "2027-0001", now)
        for number, made in enumerate((None, b"%PDF-"), start=1):
            over = now if made else None
            row = Errand(
                id=number, lane=Lane.PRINTS, runner="elsewhere", at=now, seen_at=now,
                over_at=over, done=7, whole=7, made=made,
            )  # fmt: skip
            session.add(row)
        _, secret = make_link(session, "2027-0005", "en", now, 14)
    return secret


def addresses(secret: str) -> list[str]:
    """An address of every page, faults among them."""
    named = [one for found in PAGES.values() for one in found]
    return [one.format(secret=secret) for one in (*named, *FAULTS)]
