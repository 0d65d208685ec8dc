"""The shop: who makes the hoods, habits, and what time and costs are worth."""

from decimal import Decimal
from typing import Final

from fastapi.responses import HTMLResponse, RedirectResponse, Response

from documents.figures import minutes_text
from service.bench.keeping import paces_of_shop
from service.bodies import ShopIn
from service.db import Database
from service.errors import StaleError, UnreadableError
from service.shop import save_shop, shop_of
from service.web.dependencies import DatabaseOf
from service.web.pages import labels, timeform, words
from service.web.pages.render import page
from service.web.pages.typed import (
    Form,
    Kind,
    Typed,
    Values,
    flat_of,
    last,
    read_body,
    tree_of,
    version_of,
)
from service.web.parts import page_part
from service.web.problems import fields_of, status_of
from sizing.errors import ValueOutOfRangeError
from sizing.rates import Rates

router = page_part("/shop")
SEE_OTHER: Final = 303
PACES: Final = tuple(name for name in labels.SHOP if name.startswith("rates.pace."))
TASKS: Final = tuple(name for name in labels.SHOP if name.startswith("rates.minutes."))
SHARES: Final = {
    "rates.overhead": "of yarn and labour: tools, light, postage",
    "rates.margin": "of the price: what the shop keeps",
    "rates.markup": "of the cost, where the profit is a markup",
    "rates.discount": "off every price; 0 for none",
    "rates.deposit": "of the total, before the work begins",
    "rates.fee_share": "of what the buyer pays",
    "rates.fee_tax": "on the fee, where you cannot reclaim it",
    "rates.tax": "on the price; 0 where none is due",
    "rates.allowance": "of the shift, or of the work",
    "rates.learning": "of the time at the hook, for a kind you do not know by heart yet",
}
"""Percentages, and what each is a share of."""
CHOICES: Final = {
    "rates.profit": words.PROFITS,
    "rates.allowance_of": words.ALLOWANCES,
    "rates.tax_quoted": words.TAX_QUOTED,
}
FIELDS: Final[dict[str, Kind]] = {
    **dict.fromkeys(("name", "address", "email", "unit", "terms", "paper"), Kind.TEXT),
    **dict.fromkeys(("hand", "turning_chain", "language"), Kind.TEXT),
    **dict.fromkeys(("payment_terms", "payment_note", "tax_number"), Kind.TEXT),
    **dict.fromkeys(("quote_days", "pay_days", "forget_after"), Kind.NUMBER),
    **dict.fromkeys(("enquiries", "embed_in"), Kind.TEXT),
    "rates.currency": Kind.TEXT,
    "rates.wage_per_hour": Kind.NUMBER,
    "rates.fee_fixed": Kind.NUMBER,
    "rates.overhead_per_hour": Kind.NUMBER,
    "rates.button_cost": Kind.NUMBER,
    **dict.fromkeys(CHOICES, Kind.TEXT),
    **dict.fromkeys((*PACES, *TASKS), Kind.NUMBER),
    **dict.fromkeys(SHARES, Kind.PERCENT),
    **timeform.FIELDS,
}
_PLACES: Final = {"pace": PACES[0], "fixed_minutes": TASKS[0]}


def _percent(share: str) -> str:
    return f"{(Decimal(share) * 100).normalize():f}"


def _starts() -> dict[str, str]:
    """Return what each rate is as long as the maker sets none."""
    rates = Rates()
    return {
        **{name: f"{getattr(rates.pace, name.rpartition('.')[2]):g}" for name in PACES},
        **{name: f"{getattr(rates.minutes, name.rpartition('.')[2]):g}" for name in TASKS},
        **{name: _percent(str(getattr(rates, name.rpartition(".")[2]))) for name in SHARES},
        "rates.wage_per_hour": str(rates.wage_per_hour),
        "rates.fee_fixed": str(rates.fee_fixed),
        "rates.overhead_per_hour": str(rates.overhead_per_hour),
        "rates.button_cost": str(rates.button_cost),
    }


def _values(shop: ShopIn) -> Values:
    flat = flat_of(shop) | {"enquiries": ("true" if shop.enquiries else "",)}
    shares = {name: (_percent(flat[name][0]),) for name in SHARES if name in flat}
    return flat | shares | timeform.written(shop)


def _at_the_bench(database: Database) -> dict[str, str]:
    """Return what the bench measured of each pace, for the maker to write in or leave."""
    with database.reading() as session:
        found = paces_of_shop(session)
    return {
        f"rates.pace.{kind}": f"The bench says {one.pace:.1f}, from {minutes_text(one.minutes)}"
        for kind, one in found.items()
    }


def _show(
    database: Database, form: Form, status: int = 200, banner: str = "", *, saved: bool = False
) -> HTMLResponse:
    return page(
        "shop.html",
        status,
        form=form,
        banner=banner,
        saved=saved,
        words=words,
        paces=PACES,
        tasks=TASKS,
        shares=SHARES.items(),
        choices=CHOICES.items(),
        labels=labels.SHOP,
        starts=_starts(),
        benched=_at_the_bench(database),
    )


@router.get("")
def shop_page(database: DatabaseOf, saved: str = "") -> HTMLResponse:
    """Show the shop's settings."""
    with database.reading() as session:
        shop, version = shop_of(session)
    return _show(database, Form(_values(shop) | {"version": (str(version),)}), saved=bool(saved))


def _refuse(database: Database, values: Values, error: Exception) -> HTMLResponse:
    wrong = {}
    for name, said in fields_of(error).items():
        place = name if name in FIELDS else _PLACES.get(name, f"rates.{name}")
        wrong[place] = said
    return _show(database, Form(values, wrong), status_of(error))


@router.post("")
def save(typed: Typed, database: DatabaseOf) -> Response:
    """Save the settings, or say beside the fields what is wrong."""
    tree, wrong = tree_of(typed, FIELDS)
    wrong |= timeform.read(tree)
    try:
        settings = read_body(ShopIn, tree, wrong, FIELDS)
        database.write(lambda session: save_shop(session, settings, version_of(typed)))
    except StaleError as error:
        with database.reading() as session:
            kept, newest = shop_of(session)
        flat = _values(kept)
        now = {
            name: ", ".join(flat.get(name, ())) or "empty"
            for name in FIELDS
            if last(typed, name) != last(flat, name)
        }
        newer = typed | {"version": (str(newest),)}
        said = "The settings were changed while you wrote; what they are now stands beside yours."
        return _show(database, Form(newer, now=now), status_of(error), said)
    except (UnreadableError, ValueOutOfRangeError) as error:
        return _refuse(database, typed, error)
    return RedirectResponse("/shop?saved=1", SEE_OTHER)
