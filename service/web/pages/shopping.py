"""The shopping list: what to buy for the open orders, to take along on paper or the phone."""

from fastapi.responses import HTMLResponse

from service.shelfbodies import StandOut
from service.shelfstand import shopping
from service.web.dependencies import ClockOf, DatabaseOf
from service.web.pages.render import page
from service.web.pages.shelf import balls_of, lot_name
from service.web.parts import page_part
from sizing.balls import percent_text

router = page_part("/yarns/shopping")


def _line(one: StandOut) -> dict[str, object]:
    return {
        "yarn": one.yarn,
        "lot": lot_name(one.colour, one.lot),
        "buy": one.buy,
        "then": percent_text(one.then),
        "now": percent_text(one.suffices) if one.balls else "",
        "left": balls_of(one.balls) if one.balls else "",
        "needed": balls_of(one.needed),
        "cost": str(one.cost),
        "advice": one.advice,
        "orders": [(need.number, need.dog or "Unnamed dog") for need in one.orders],
    }


@router.get("")
def shopping_page(database: DatabaseOf, clock: ClockOf, asked: str = "") -> HTMLResponse:
    """Show what to buy; `asked` adds orders that were asked for and not accepted yet."""
    with database.reading() as session:
        found = shopping(session, asked=bool(asked))
    lines = [_line(one) for one in found.lots]
    return page(
        "shopping.html",
        buy=[line for line in lines if line["buy"]],
        enough=[line for line in lines if not line["buy"]],
        cost=f"{found.cost} {found.currency}",
        currency=found.currency,
        asked=bool(asked),
        today=clock().date(),
    )
