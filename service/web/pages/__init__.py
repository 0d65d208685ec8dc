"""The pages: server-rendered HTML that works without script."""

from fastapi import APIRouter

from service.web.pages import (
    confirm,
    deliveries,
    listing,
    mails,
    order,
    shelf,
    shopform,
    taking,
)
from service.web.pages.faults import register

__all__ = ["register", "router"]

router = APIRouter(include_in_schema=False)
for part in (
    listing.router,
    taking.router,
    order.router,
    deliveries.router,
    mails.router,
    confirm.router,
    shelf.router,
    shopform.router,
):
    router.include_router(part)
