"""The pages: server-rendered HTML that works without script."""

from fastapi import APIRouter

from service.web.pages import bench, inhand, listing, order, shelf, shopform, taking
from service.web.pages.faults import register

__all__ = ["register", "router"]

router = APIRouter(include_in_schema=False)
for part in (
    listing.router,
    taking.router,
    order.router,
    bench.router,
    inhand.router,
    shelf.router,
    shopform.router,
):
    router.include_router(part)
