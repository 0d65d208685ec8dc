"""The form for an order, shown: fields, what lies ready, and the order as it takes shape."""

from typing import Final

from fastapi.responses import HTMLResponse

from service.db import Database
from service.web.pages import labels, swatches, wishform, words, yarnform
from service.web.pages.desk import Desk, Opening
from service.web.pages.figures import dog
from service.web.pages.render import page
from service.web.pages.shaping import shape_of
from service.web.pages.typed import Form
from sizing.breeds import BREEDS

_NAMES: Final = tuple(breed.name for breed in BREEDS)


def show(
    database: Database,
    form: Form,
    desk: Desk,
    status: int = 200,
    banner: str = "",
    opening: Opening | None = None,
) -> HTMLResponse:
    """Return the form for an order.

    Args:
        database: of the shop.
        form: its fields.
        desk: what lies ready.
        status: of the answer.
        banner: what to say above all.
        opening: how a new order begins; None while it is gone on with.
    """
    with database.reading() as session:
        shape = shape_of(session, form.values, desk)
    return page(
        "order_form.html",
        status,
        form=form,
        desk=desk,
        banner=banner,
        opening=opening,
        dog=dog(),
        breeds=_NAMES,
        words=words,
        places=yarnform.PLACES,
        shapes=wishform.shown(form.values),
        labels=labels.ORDER,
        swatches=swatches.offered(desk.kept),
        shape=shape,
        elsewhere=None,
    )
