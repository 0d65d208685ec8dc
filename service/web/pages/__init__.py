"""The pages: server-rendered HTML that works without script."""

from fastapi import APIRouter

from service.web.pages import (
    enquiries,
    enquiry,
    inhand,
    listing,
    order,
    owner,
    ownermaker,
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
    inhand.router,
    shelf.router,
    shopform.router,
    owner.router,
    ownermaker.router,
    enquiry.router,
    enquiries.router,
):
    router.include_router(part)
