"""The shelf: the yarns that hoods are made of."""

from fastapi import APIRouter
from fastapi.responses import HTMLResponse, RedirectResponse, Response

from documents.figures import fibres_text
from service.bodies import YarnIn
from service.db import Database
from service.errors import UnreadableError
from service.shop import add_yarn, shop_of, yarns
from service.web.dependencies import DatabaseOf
from service.web.pages import labels, words, yarnform
from service.web.pages.render import page
from service.web.pages.typed import Form, Typed
from service.web.problems import fields_of, status_of
from sizing.errors import ValueOutOfRangeError

router = APIRouter(prefix="/yarns")
SEE_OTHER = 303
_CLASSES = dict(words.WEIGHTS)


def _line(yarn: YarnIn) -> dict[str, str]:
    return {
        "name": yarn.name,
        "fibres": fibres_text(tuple((share.fibre, share.percent) for share in yarn.fibres)),
        "weight": _CLASSES[str(int(yarn.weight_class))],
        "ball": f"{yarn.ball_metres:g} m, {yarn.ball_grams:g} g",
        "price": str(yarn.ball_price),
        "lot": yarn.lot,
    }


def _show(database: Database, form: Form, status: int = 200) -> HTMLResponse:
    with database.reading() as session:
        rows = [_line(YarnIn.model_validate(row.details)) for row in yarns(session)]
        shop, _ = shop_of(session)
    return page(
        "shelf.html",
        status,
        rows=rows,
        form=form,
        currency=shop.rates.currency,
        words=words,
        places=yarnform.PLACES,
        labels=labels.YARN,
    )


@router.get("")
def shelf(database: DatabaseOf) -> HTMLResponse:
    """Show the shelf and an empty form for one more yarn."""
    return _show(database, Form(yarnform.BLANK))


@router.post("")
def put(typed: Typed, database: DatabaseOf) -> Response:
    """Put a yarn on the shelf, or say what is wrong with it."""
    values = yarnform.packed(typed)
    try:
        yarn = yarnform.read_yarn(values)
        with database.writing() as session:
            add_yarn(session, yarn)
    except (UnreadableError, ValueOutOfRangeError) as error:
        form = Form(values, yarnform.placed(fields_of(error)))
        return _show(database, form, status_of(error))
    return RedirectResponse("/yarns", SEE_OTHER)
