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
    record,
    shelf,
    shop,
    today,
)

router = APIRouter(prefix="/api/v1")
for part in (
    plans, orders, known, papers, bills, deliveries, mails, owner, bench, shop, shelf, queue,
    today, calendar, record,
    bringing,
):  # fmt: skip
    router.include_router(part.router)
