"""The API does everything that the pages do: each form's route, and the API's for the same.

A route that a new form goes to fails here until it has its line.
"""

from importlib import import_module
from pkgutil import iter_modules
from typing import Final

import pytest

from service.db import Database
from service.web import pages
from service.web.application import create_app
from service.web.gate.table import TABLE, Who
from service.web.gate.ways import lines_of

OF: Final = "/api/v1/orders/{number}"
SAME: Final = {
    "/orders/new": "POST /api/v1/orders",
    "/orders/{number}/edit": f"PATCH {OF}",
    "/orders/{number}/state": f"POST {OF}/state",
    "/orders/{number}/correct": f"PATCH {OF}",
    "/orders/{number}/accept": f"PATCH {OF}",
    "/orders/{number}/collar": f"PATCH {OF}",
    "/orders/{number}/fitting": f"PATCH {OF}",
    "/orders/{number}/outcome": f"PUT {OF}/outcome",
    "/orders/{number}/payment": f"POST {OF}/payments",
    "/orders/{number}/invoice": f"POST {OF}/invoices",
    "/orders/{number}/credit-note": f"POST {OF}/credit-notes",
    "/orders/{number}/credit": f"POST {OF}/credit-notes",
    "/orders/{number}/together": f"PUT {OF}/together/{{other}}",
    "/orders/{number}/apart": f"DELETE {OF}/together",
    "/orders/{number}/together/state": f"POST {OF}/together/state",
    "/orders/{number}/in-hand": f"POST {OF}/in-hand",
    "/orders/{number}/bench": f"POST {OF}/bench/events",
    "/orders/{number}/bench/place": f"POST {OF}/bench/place",
    "/orders/{number}/bench/follow": f"POST {OF}/bench/follow",
    "/orders/{number}/papers/{kind}": f"POST {OF}/deliveries",
    "/orders/{number}/handed/{kind}": f"POST {OF}/deliveries/paper",
    "/orders/{number}/deliveries/{delivery}/again": f"POST {OF}/deliveries/{{delivery}}/again",
    "/orders/{number}/deliveries/{delivery}/by-hand": f"POST {OF}/deliveries/{{delivery}}/by-hand",
    "/orders/{number}/asklink": f"POST {OF}/owner-links",
    "/orders/{number}/takeback": f"DELETE {OF}/owner-links/{{link}}",
    "/orders/{number}/takeover": f"POST {OF}/owner-numbers/{{numbers}}/take-over",
    "/orders/{number}/leave": f"POST {OF}/owner-numbers/{{numbers}}/decline",
    "/orders/shape": "PUT /api/v1/drafts/{draft_id}",
    "/drafts/{draft_id}/throw-away": "DELETE /api/v1/drafts/{draft_id}",
    "/confirm/{secret}": "POST /api/v1/confirmations/{secret}",
    "/measure/{secret}": f"PATCH {OF}",
    "/measure/{secret}/look": "POST /api/v1/checks",
    "/ask": "POST /api/v1/enquiries",
    "/enquiries/{enquiry_id}/looked": "POST /api/v1/enquiries/{enquiry_id}/looked",
    "/enquiries/{enquiry_id}/delete": "DELETE /api/v1/enquiries/{enquiry_id}",
    "/mails/{kind}": "PUT /api/v1/mail-templates/{kind}",
    "/shop": "PUT /api/v1/shop",
    "/queue/calendar": "POST /api/v1/calendar/addresses",
    "/queue/calendar/takeback": "DELETE /api/v1/calendar/addresses/{address}",
    "/yarns": "POST /api/v1/yarns",
    "/yarns/{yarn_id}": "PUT /api/v1/yarns/{yarn_id}",
    "/yarns/{yarn_id}/remove": "DELETE /api/v1/yarns/{yarn_id}",
    "/yarns/{yarn_id}/swatches": "POST /api/v1/yarns/{yarn_id}/swatches",
    "/yarns/{yarn_id}/swatches/{swatch_id}/remove": (
        "DELETE /api/v1/yarns/{yarn_id}/swatches/{swatch_id}"
    ),
    "/tickets": "POST /api/v1/prints",
    "/bring-in": "POST /api/v1/bring-in",
    "/bring-in/{file_id}/do": "POST /api/v1/bring-in/{file_id}/do",
    "/buyers/erase-old": "POST /api/v1/buyers/erase-old",
    "/buyers/{buyer_id}/erase": "POST /api/v1/buyers/{buyer_id}/erase",
}
DOORS: Final = frozenset(
    {
        "/sign-in",
        "/sign-in/step",
        "/sign-in/strength",
        "/sign-out",
        "/account/password",
        "/account/step",
        "/account/step/codes",
        "/account/step/off",
        "/account/step/on",
        "/account/known",
        "/account/strength",
        "/accounts",
        "/accounts/{account_id}/link",
        "/accounts/{account_id}/shut",
        "/accounts/keys",
        "/accounts/keys/{key_id}/shut",
    }
)
"""Only somebody with a password opens and shuts doors: a key that was stolen must make no other
key, no account and no password, and shut nobody out."""


def _posted() -> set[str]:
    """The addresses that the pages' forms go to."""
    names = (one.name for one in iter_modules(pages.__path__))
    modules = [import_module(f"{pages.__name__}.{name}") for name in names]
    found = [one for part in modules if hasattr(part, "router") for one in part.router.routes]
    return {one.path for one in found if "POST" in one.methods}


def test_every_form_has_its_line() -> None:
    assert _posted() == SAME.keys() | DOORS
    assert not SAME.keys() & DOORS


@pytest.fixture
def lines(database: Database) -> list[str]:
    return lines_of(create_app(database))


def test_every_line_leads_to_a_route_of_the_api(lines: list[str]) -> None:
    missing = {page: line for page, line in SAME.items() if line not in lines}
    assert missing == {}
    assert all(" /api/v1/" in line for line in SAME.values())


def test_whoever_may_send_the_form_may_use_the_api(lines: list[str]) -> None:
    assert lines
    more = {
        page: (TABLE[f"POST {page}"], TABLE[line])
        for page, line in SAME.items()
        if TABLE[line] > max(TABLE[f"POST {page}"], Who.HELPER)
    }
    # Strangers have no key: what they send, a program of the maker's sends for them.
    assert set(more) <= {page for page in SAME if TABLE[f"POST {page}"] is Who.ANYONE}


def test_no_door_is_opened_by_a_key(lines: list[str]) -> None:
    words = ("account", "password", "sign", "key")
    assert [line for line in lines if " /api/" in line and any(w in line for w in words)] == []
