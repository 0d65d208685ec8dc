"""What the papers of an order had to change in typed texts, told before they are printed."""

from collections.abc import Iterator

from documents.ticket_view import ticket_view
from service.bodies import ShopIn
from service.jobs import job_of, plan_for
from service.orders import Found
from service.paperwork import care_of


def _told(found: Found, shop: ShopIn, code: str) -> Iterator[str]:
    if found.plan is None:
        return
    yield from (f"Care sheet, {warning}" for warning in care_of(found, shop, code).warnings)
    ticket = ticket_view(job_of(found, shop), plan_for(found))
    yield from (f"Work ticket, {warning}" for warning in ticket.warnings)


def paper_notes(found: Found, shop: ShopIn, code: str = "") -> tuple[str, ...]:
    """Return a sentence for each typed text that a paper cuts or cannot show, each once.

    Args:
        found: the order.
        shop: the maker's settings.
        code: the language of the buyer's papers; empty for the order's own.

    Returns:
        Nothing for an order without a plan, because it has no papers yet.

    Raises:
        ValueError: if there is no catalogue of the language.
    """
    return tuple(dict.fromkeys(_told(found, shop, code)))
