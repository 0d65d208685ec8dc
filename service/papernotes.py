"""What the papers of an order had to change in typed texts, told before they are printed."""

from collections.abc import Iterator

from documents.care_view import care_view
from documents.language import ENGLISH
from documents.ticket_view import ticket_view
from service.bodies import ShopIn
from service.orders import Found
from service.paperwork import job_of
from service.planning import plan_again


def _told(found: Found, shop: ShopIn, code: str) -> Iterator[str]:
    if found.order.plan is None:
        return
    job, plan = job_of(found, shop), plan_again(found.order.plan)
    yield from (f"Care sheet, {warning}" for warning in care_view(job, plan, code).warnings)
    yield from (f"Work ticket, {warning}" for warning in ticket_view(job, plan).warnings)


def paper_notes(found: Found, shop: ShopIn, code: str = ENGLISH) -> tuple[str, ...]:
    """Return a sentence for each typed text that a paper cuts or cannot show, each once.

    Args:
        found: the order.
        shop: the maker's settings.
        code: the language of the buyer's papers.

    Returns:
        Nothing for an order without a plan, because it has no papers yet.

    Raises:
        ValueError: if there is no catalogue of the language.
    """
    return tuple(dict.fromkeys(_told(found, shop, code)))
