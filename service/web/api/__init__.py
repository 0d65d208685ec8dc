"""The JSON API under /api/v1."""

from fastapi import APIRouter

from service.web.api import bills, orders, papers, plans, shop

router = APIRouter(prefix="/api/v1")
for part in (plans, orders, papers, bills, shop):
    router.include_router(part.router)
