"""What the papers of an order had to change in typed texts, told before they are printed."""

from documents.ticket_view import ticket_warnings
from service.bodies import ShopIn
from service.jobs import job_of, plan_for
from service.orders import Found
from service.paperwork import care_of, guide_of, labels_of, quote_of_order, slip_of


def _warnings(found: Found, shop: ShopIn, code: str) -> dict[str, tuple[str, ...]]:
    """Return the warnings of each paper, by what the maker calls it."""
    return {
        "care sheet": care_of(found, shop, code).warnings,
        "work ticket": ticket_warnings(job_of(found, shop), plan_for(found)),
        "quote": quote_of_order(found, shop, code).warnings,
        "measuring guide": guide_of(found, shop, code).warnings,
        "label": labels_of([found], shop, 1, code).warnings,
        "parcel slip": slip_of(found, shop, code).warnings,
    }


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
    if found.plan is None:
        return ()
    told: dict[str, list[str]] = {}
    for paper, warnings in _warnings(found, shop, code).items():
        for warning in dict.fromkeys(warnings):
            told.setdefault(warning, []).append(paper)
    return tuple(
        f"{warning[:1].upper()}{warning[1:]} So it stands on: {', '.join(papers)}."
        for warning, papers in told.items()
    )
