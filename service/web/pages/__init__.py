"""The pages: server-rendered HTML that works without script."""

from fastapi import APIRouter

from service.web.pages import inhand, listing, order, shelf, shopform, shopping, taking, yarn
from service.web.pages.faults import register

__all__ = ["register", "router"]

router = APIRouter(include_in_schema=False)
for part in (
    listing.router,
    taking.router,
    order.router,
    inhand.router,
    shelf.router,
    shopping.router,
    yarn.router,
    shopform.router,
):
    router.include_router(part)
