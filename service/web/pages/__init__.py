"""The pages: server-rendered HTML that works without script."""

from fastapi import APIRouter

from service.web.pages import inhand, listing, money, order, shelf, shopform, taking
from service.web.pages.faults import register

__all__ = ["register", "router"]

router = APIRouter(include_in_schema=False)
for part in (listing, taking, order, inhand, money, shelf, shopform):
    router.include_router(part.router)
