"""The pages: server-rendered HTML that works without script."""

from service.web.pages import (
    account,
    accounts,
    apidocs,
    beginning,
    bench,
    bringing,
    calendar,
    confirm,
    deliveries,
    drafting,
    enquiries,
    enquiry,
    inhand,
    listing,
    mails,
    money,
    order,
    owner,
    ownermaker,
    persons,
    queuing,
    record,
    shelf,
    shopform,
    shopping,
    signin,
    stepping,
    stepsetting,
    suggesting,
    taking,
    tickets,
    today,
    together,
    yarn,
)
from service.web.pages.faults import register

__all__ = ["PARTS", "register"]

PARTS = (
    today, listing, beginning, drafting, taking, order, bench, inhand, together, money,
    deliveries, mails, confirm, shelf, shopping, yarn, shopform, queuing, tickets, calendar,
    record, suggesting,
    signin, stepping, account, stepsetting, accounts, apidocs,
    owner, ownermaker, enquiry, enquiries,
    bringing, persons,
)  # fmt: skip
