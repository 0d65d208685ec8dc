"""The shop's settings."""

from typing import Annotated

from fastapi import Body, Response

from service.bodies import ShopIn
from service.errors import NO_VERSION, MissingVersionError
from service.shop import save_shop, shop_of
from service.web.api.examples import SHOPS
from service.web.dependencies import DatabaseOf, IfMatch, etag
from service.web.parts import api_part
from service.web.problems import documented

router = api_part("shop")


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
        raise MissingVersionError(NO_VERSION)
    saved = database.write(lambda session: save_shop(session, settings, version))
    response.headers["ETag"] = etag(saved)
    return settings
