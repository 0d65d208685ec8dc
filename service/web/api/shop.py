"""The shop's settings and the yarns on the shelf."""

from typing import Annotated

from fastapi import APIRouter, Body, Response

from service.bodies import ShopIn, YarnIn
from service.errors import MissingVersionError
from service.models import Yarn
from service.planbodies import Out
from service.shop import add_yarn, save_shop, shop_of, yarns
from service.web.api.examples import SHOPS, YARNS
from service.web.dependencies import DatabaseOf, IfMatch, etag
from service.web.problems import documented

router = APIRouter(tags=["shop"])


class YarnOnShelf(Out):
    """A yarn on the shelf."""

    id: int
    yarn: YarnIn


def _on_shelf(row: Yarn) -> YarnOnShelf:
    return YarnOnShelf(id=row.id or 0, yarn=YarnIn.model_validate(row.details))


@router.get("/shop")
def show_shop(database: DatabaseOf, response: Response) -> ShopIn:
    """Show the shop's settings."""
    with database.reading() as session:
        settings, version = shop_of(session)
    response.headers["ETag"] = etag(version)
    return settings


@router.put("/shop", responses=documented(412, 422, 428))
def change_shop(
    settings: Annotated[ShopIn, Body(openapi_examples=SHOPS)],
    database: DatabaseOf,
    version: IfMatch,
    response: Response,
) -> ShopIn:
    """Change the shop's settings; orders taken from now on have the new rates."""
    if version is None:
        message = "Say which version you change: send its ETag in If-Match."
        raise MissingVersionError(message)
    saved = database.write(lambda session: save_shop(session, settings, version))
    response.headers["ETag"] = etag(saved)
    return settings


@router.get("/yarns")
def list_yarns(database: DatabaseOf) -> list[YarnOnShelf]:
    """List the shelf by name."""
    with database.reading() as session:
        return [_on_shelf(row) for row in yarns(session)]


@router.post("/yarns", status_code=201, responses=documented(422))
def put_yarn(
    yarn: Annotated[YarnIn, Body(openapi_examples=YARNS)], database: DatabaseOf
) -> YarnOnShelf:
    """Put a yarn on the shelf."""
    with database.writing() as session:
        return _on_shelf(add_yarn(session, yarn))
