"""The JSON API under /api/v1."""

from fastapi import APIRouter

from service.web.api import bills, deliveries, mails, orders, papers, plans, shop

router = APIRouter(prefix="/api/v1")
for part in (plans, orders, papers, bills, deliveries, mails, shop):
    router.include_router(part.router)
