"""The JSON API under /api/v1."""

from fastapi import APIRouter

from service.web.api import (
    bench,
    bills,
    bringing,
    calendar,
    deliveries,
    known,
    mails,
    orders,
    owner,
    papers,
    plans,
    queue,
    shelf,
    shop,
    today,
    together,
)

router = APIRouter(prefix="/api/v1")
for part in (
    plans, orders, together, known, papers, bills, deliveries, mails, owner, bench, shop,
    shelf, queue, today, calendar,
    bringing,
):  # fmt: skip
    router.include_router(part.router)
