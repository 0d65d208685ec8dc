"""The shelf: the yarns that hoods are made of, lot by lot, beside what is reserved of them."""

from collections import defaultdict
from dataclasses import dataclass

from fastapi.responses import HTMLResponse, RedirectResponse, Response

from documents.figures import fibres_text
from service.db import Database
from service.errors import UnreadableError
from service.planning import odd_in_ball
from service.shelf import Shelved, put_yarn, shelf
from service.shelfneed import Stand
from service.shelfstand import stands
from service.shop import shop_of
from service.web.dependencies import DatabaseOf
from service.web.pages import shelfform, words, yarnform
from service.web.pages.render import page
from service.web.pages.typed import Form, Typed
from service.web.parts import page_part
from service.web.problems import fields_of, status_of
from sizing.errors import ValueOutOfRangeError

router = page_part("/yarns")
SEE_OTHER = 303
_CLASSES = dict(words.WEIGHTS)


@dataclass(frozen=True, slots=True)
class LotLine:
    """One lot: what is left of it, what of that is spoken for, and by which orders."""

    name: str
    left: str
    reserved: str
    orders: tuple[tuple[str, str], ...]
    buy: int


@dataclass(frozen=True, slots=True)
class YarnCard:
    """A yarn as the shelf shows it."""

    id: int | None
    name: str
    fibres: str
    weight: str
    ball: str
    odd: str
    price: str
    lots: tuple[LotLine, ...]
    swatches: tuple[str, ...]


def balls_of(balls: float) -> str:
    """Return balls and shares of one: `1 ball`, `2.5 balls`."""
    text = f"{balls:.1f}".removesuffix(".0")
    return f"{text} ball{'' if text == '1' else 's'}"


def lot_name(colour: str, lot: str) -> str:
    """Return what a lot is called: its colour and the dyer's mark, as far as they are known."""
    return ", ".join(part for part in (colour, f"lot {lot}" if lot else "") if part) or "no lot"


def _line(colour: str, lot: str, balls: float, stand: Stand | None) -> LotLine:
    needs = stand.needs if stand else ()
    return LotLine(
        name=lot_name(colour, lot),
        left=balls_of(balls),
        reserved=balls_of(stand.needed) if stand else "",
        orders=tuple((need.number, need.dog or "Unnamed dog") for need in needs),
        buy=stand.buy if stand else 0,
    )


def _card(one: Shelved, found: dict[tuple[str, str, str], Stand]) -> YarnCard:
    yarn = one.yarn
    return YarnCard(
        id=one.row.id,
        name=yarn.name,
        fibres=fibres_text(tuple((share.fibre, share.percent) for share in yarn.fibres)),
        weight=_CLASSES[str(int(yarn.weight_class))],
        ball=f"{yarn.ball_metres:g} m, {yarn.ball_grams:g} g",
        odd=odd_in_ball(yarn),
        price=str(yarn.ball_price),
        lots=tuple(
            _line(lot.colour, lot.lot, lot.balls, found.get((yarn.name, lot.colour, lot.lot)))
            for lot in one.lots
        ),
        swatches=tuple(swatch.name for swatch in one.swatches),
    )


def _missing(found: tuple[Stand, ...]) -> dict[str, list[LotLine]]:
    """Return the lots that open orders are made of and that are not on the shelf, by yarn."""
    missing: dict[str, list[LotLine]] = defaultdict(list)
    for one in found:
        if not one.on_shelf:
            missing[one.yarn].append(_line(one.colour, one.lot, 0, one))
    return dict(missing)


def _show(database: Database, form: Form, status: int = 200) -> HTMLResponse:
    with database.reading() as session:
        found = stands(session)
        known = {(one.yarn, one.colour, one.lot): one for one in found if one.on_shelf}
        cards = [_card(one, known) for one in shelf(session)]
        shop, _ = shop_of(session)
    return page(
        "shelf.html",
        status,
        cards=cards,
        missing=_missing(found),
        short=sum(one.buy > 0 for one in found),
        form=form,
        currency=shop.rates.currency,
        words=words,
        places=yarnform.PLACES,
        lots=shelfform.rows_shown(form.values),
        labels=shelfform.LABELS,
    )


@router.get("")
def shelf_page(database: DatabaseOf) -> HTMLResponse:
    """Show the shelf and an empty form for one more yarn."""
    return _show(database, Form(yarnform.BLANK))


@router.post("")
def put(typed: Typed, database: DatabaseOf) -> Response:
    """Put a yarn on the shelf, or say what is wrong with it."""
    values = shelfform.packed(typed)
    try:
        yarn = shelfform.read_yarn(values)
        with database.writing() as session:
            put_yarn(session, yarn)
    except (UnreadableError, ValueOutOfRangeError) as error:
        form = Form(values, yarnform.placed(fields_of(error)))
        return _show(database, form, status_of(error))
    return RedirectResponse("/yarns", SEE_OTHER)
