"""The JSON API under /api/v1."""

from fastapi import APIRouter

from service.web.api import deliveries, mails, orders, papers, plans, shop

router = APIRouter(prefix="/api/v1")
for part in (
    plans.router,
    orders.router,
    papers.router,
    deliveries.router,
    mails.router,
    shop.router,
):
    router.include_router(part)
