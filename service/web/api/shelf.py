"""The shelf on the wire: yarns, their dye lots and swatches, and the shopping list."""

from typing import Annotated

from fastapi import Body, Response

from service.shelf import (
    Shelved,
    add_swatch,
    change_yarn,
    put_yarn,
    remove_swatch,
    remove_yarn,
    shelf,
    shelved_out,
    yarn_on_shelf,
)
from service.shelfbodies import ShelfSwatchIn, ShelfYarnIn, ShoppingOut, YarnOnShelf
from service.shelfstand import shopping
from service.web.api.examples import SWATCHES, YARNS
from service.web.dependencies import DatabaseOf, IdOf, IfMatch, etag
from service.web.parts import api_part
from service.web.problems import documented

router = api_part("shelf")
YarnBody = Annotated[ShelfYarnIn, Body(openapi_examples=YARNS)]


def _answer(one: Shelved, response: Response) -> YarnOnShelf:
    response.headers["ETag"] = etag(one.row.version)
    return shelved_out(one)


@router.get("/yarns")
def list_yarns(database: DatabaseOf) -> list[YarnOnShelf]:
    """List the shelf by name."""
    with database.reading() as session:
        return [shelved_out(one) for one in shelf(session)]


@router.post("/yarns", status_code=201, responses=documented(422))
def put_a_yarn(yarn: YarnBody, database: DatabaseOf, response: Response) -> YarnOnShelf:
    """Put a yarn on the shelf with the balls of each of its dye lots."""
    with database.writing() as session:
        one = put_yarn(session, yarn)
    response.headers["Location"] = f"/api/v1/yarns/{one.row.id}"
    return _answer(one, response)


@router.get("/yarns/{yarn_id}", responses=documented(404, 422))
def show_yarn(yarn_id: IdOf, database: DatabaseOf, response: Response) -> YarnOnShelf:
    """Show one yarn of the shelf."""
    with database.reading() as session:
        return _answer(yarn_on_shelf(session, yarn_id), response)


@router.put("/yarns/{yarn_id}", responses=documented(404, 412, 422, 428))
def change_a_yarn(
    yarn_id: IdOf, yarn: YarnBody, database: DatabaseOf, version: IfMatch, response: Response
) -> YarnOnShelf:
    """Change a yarn and its lots; orders keep the yarn that they were taken with."""
    with database.writing() as session:
        one = change_yarn(session, yarn_id, yarn, version)
    return _answer(one, response)


@router.delete("/yarns/{yarn_id}", status_code=204, responses=documented(404, 412, 422, 428))
def remove_a_yarn(yarn_id: IdOf, database: DatabaseOf, version: IfMatch) -> None:
    """Take a yarn off the shelf with its lots and swatches."""
    with database.writing() as session:
        remove_yarn(session, yarn_id, version)


@router.post(
    "/yarns/{yarn_id}/swatches", status_code=201, responses=documented(404, 412, 422, 428)
)
def keep_a_swatch(
    yarn_id: IdOf,
    swatch: Annotated[ShelfSwatchIn, Body(openapi_examples=SWATCHES)],
    database: DatabaseOf,
    version: IfMatch,
    response: Response,
) -> YarnOnShelf:
    """Keep a swatch with its yarn, at the yarn's version."""
    with database.writing() as session:
        one = add_swatch(session, yarn_id, swatch, version)
    return _answer(one, response)


@router.delete("/yarns/{yarn_id}/swatches/{swatch_id}", responses=documented(404, 412, 422, 428))
def remove_a_swatch(
    yarn_id: IdOf, swatch_id: IdOf, database: DatabaseOf, version: IfMatch, response: Response
) -> YarnOnShelf:
    """Take a swatch away from its yarn, at the yarn's version."""
    with database.writing() as session:
        one = remove_swatch(session, yarn_id, swatch_id, version)
    return _answer(one, response)


@router.get("/shopping-list", responses=documented(422))
def show_shopping_list(database: DatabaseOf, *, asked: bool = False) -> ShoppingOut:
    """Show each lot beside its accepted orders, and what to buy; `asked` adds enquiries."""
    with database.reading() as session:
        return shopping(session, asked=asked)
