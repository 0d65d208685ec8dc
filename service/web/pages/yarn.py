"""One yarn of the shelf: change it, count its balls, keep its swatches, take it off."""

from typing import NamedTuple

from fastapi.responses import HTMLResponse, RedirectResponse, Response

from documents.figures import gauge_text
from service.bodies import SwatchIn
from service.db import Database
from service.errors import StaleError, UnreadableError
from service.planning import odd_in_swatch
from service.shelf import (
    Shelved,
    add_swatch,
    change_yarn,
    remove_swatch,
    remove_yarn,
    yarn_on_shelf,
)
from service.shop import shop_of
from service.web.dependencies import DatabaseOf, IdOf
from service.web.pages import shelfform, words, yarnform
from service.web.pages.render import page
from service.web.pages.typed import Form, Typed, Values, last, version_of
from service.web.parts import page_part
from service.web.problems import fields_of, status_of
from sizing.errors import ValueOutOfRangeError

router = page_part("/yarns/{yarn_id}")
SEE_OTHER = 303
STALE = (
    "The yarn was changed while you wrote, perhaps by a hood that was finished. Nothing of yours"
    " is lost, and nothing is saved yet: beside your text stands what is kept now."
)


class _Swatch(NamedTuple):
    """A swatch of the list: what was counted, and what is odd about it."""

    id: int | None
    name: str
    told: str
    odd: str


def _swatch_lines(one: Shelved) -> list[_Swatch]:
    lines = []
    for row in one.swatches:
        swatch = SwatchIn.model_validate(row.details)
        rib = gauge_text(swatch.rib_stitches, swatch.rib_rows)
        plain = gauge_text(swatch.plain_stitches, swatch.plain_rows)
        told = [f"rib {rib}", f"plain {plain}"]
        told += ["stretch tested"] if swatch.stretch else []
        told += ["weighed"] if swatch.weighed_grams else []
        told += ["unravelled"] if swatch.unravelled_mm else []
        odd = odd_in_swatch(one.yarn, swatch)
        lines.append(_Swatch(row.id, row.name, "; ".join(told), odd))
    return lines


def _show(
    database: Database,
    yarn_id: int,
    form: Form | None = None,
    status: int = 200,
    banner: str = "",
    swatch: Form | None = None,
) -> HTMLResponse:
    with database.reading() as session:
        one = yarn_on_shelf(session, yarn_id)
        shop, _ = shop_of(session)
    shown = form or Form(shelfform.filled(one))
    return page(
        "yarn.html",
        status,
        one=one,
        form=shown,
        swatch=swatch or Form({}),
        banner=banner,
        swatches=_swatch_lines(one),
        currency=shop.rates.currency,
        words=words,
        places=yarnform.PLACES,
        lots=shelfform.rows_shown(shown.values),
        labels=shelfform.LABELS | shelfform.SWATCH_LABELS,
    )


@router.get("")
def yarn_page(yarn_id: IdOf, database: DatabaseOf) -> HTMLResponse:
    """Show a yarn to change."""
    return _show(database, yarn_id)


def _now(typed: Values, kept: Values) -> dict[str, str]:
    """Return what is kept, by field, wherever something else is typed."""
    return {
        name: last(kept, name) or "empty"
        for name in shelfform.FIELDS
        if last(typed, name) != last(kept, name)
    }


@router.post("")
def save(yarn_id: IdOf, typed: Typed, database: DatabaseOf) -> Response:
    """Save what is typed, or say beside its fields what is wrong."""
    values = shelfform.packed(typed)
    try:
        yarn = shelfform.read_yarn(values)
        with database.writing() as session:
            change_yarn(session, yarn_id, yarn, version_of(values))
    except StaleError as error:
        with database.reading() as session:
            kept = shelfform.filled(yarn_on_shelf(session, yarn_id))
        form = Form(values, now=_now(values, kept))
        return _show(database, yarn_id, form, status_of(error), STALE)
    except (UnreadableError, ValueOutOfRangeError) as error:
        form = Form(values, yarnform.placed(fields_of(error)))
        return _show(database, yarn_id, form, status_of(error))
    return RedirectResponse("/yarns", SEE_OTHER)


@router.post("/remove")
def remove(yarn_id: IdOf, typed: Typed, database: DatabaseOf) -> Response:
    """Take the yarn off the shelf."""
    with database.writing() as session:
        remove_yarn(session, yarn_id, version_of(typed))
    return RedirectResponse("/yarns", SEE_OTHER)


@router.post("/swatches")
def keep(yarn_id: IdOf, typed: Typed, database: DatabaseOf) -> Response:
    """Keep a swatch with the yarn, or say beside its fields what is wrong."""
    try:
        asked = shelfform.read_swatch(typed)
        with database.writing() as session:
            add_swatch(session, yarn_id, asked, version_of(typed))
    except StaleError as error:
        said = "The yarn was changed while you wrote. Press once more to keep the swatch."
        return _show(database, yarn_id, None, status_of(error), said, Form(typed))
    except (UnreadableError, ValueOutOfRangeError) as error:
        form = Form(typed, shelfform.swatch_placed(fields_of(error)))
        return _show(database, yarn_id, None, status_of(error), swatch=form)
    return RedirectResponse(f"/yarns/{yarn_id}#swatches", SEE_OTHER)


@router.post("/swatches/{swatch_id}/remove")
def drop(yarn_id: IdOf, swatch_id: IdOf, typed: Typed, database: DatabaseOf) -> Response:
    """Take a swatch away."""
    with database.writing() as session:
        remove_swatch(session, yarn_id, swatch_id, version_of(typed))
    return RedirectResponse(f"/yarns/{yarn_id}#swatches", SEE_OTHER)
