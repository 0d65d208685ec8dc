"""The JSON API under /api/v1."""

from fastapi import APIRouter

from service.web.api import (
    bench,
    bills,
    bringing,
    calendar,
    deliveries,
    drafts,
    enquiries,
    known,
    mails,
    orders,
    owner,
    papers,
    persons,
    plans,
    queue,
    readable,
    record,
    shelf,
    shop,
    takeout,
    today,
    together,
)
from service.web.problems import documented

# Whatever is asked: by nobody we know, or with a key that is not good for it; too much at once, or
# too slowly; and the database may be out of reach, and its disk full.
router = APIRouter(prefix="/api/v1", responses=documented(401, 403, 408, 413, 414, 415, 503, 507))
for part in (
    plans, orders, together, known, drafts, enquiries, papers, readable, bills, deliveries,
    mails, owner, bench,
    shop, shelf, queue, today, calendar, record,
    bringing, takeout, persons,
):  # fmt: skip
    router.include_router(part.router)
