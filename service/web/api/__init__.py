"""The JSON API under /api/v1."""

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
    prints,
    queue,
    readable,
    record,
    shelf,
    shop,
    takeout,
    today,
    together,
)

PARTS = (
    plans, orders, together, known, drafts, enquiries, papers, prints, readable, bills, deliveries,
    mails, owner, bench,
    shop, shelf, queue, today, calendar, record,
    bringing, takeout, persons,
)  # fmt: skip
