"""Who may use which route: one table. What is not in it, nobody may use.

A test holds it against all routes of the application.
"""

from enum import IntEnum
from typing import Final

from service.doors.roles import Scope


class Who(IntEnum):
    """Who a route is for; whoever may more may this too."""

    ANYONE = 0
    HELPER = 1
    MAKER = 2


_ANYONE: Final = """
GET /sign-in
POST /sign-in
POST /sign-in/step
POST /sign-in/strength
GET /robots.txt
GET /bench-worker.js
GET /healthz
GET /readyz
GET /metrics
GET /calendar/{secret}.ics
HEAD /calendar/{secret}.ics
GET /confirm/{secret}
POST /confirm/{secret}
GET /confirm/{secret}/sheet.pdf
POST /api/v1/confirmations/{secret}
GET /measure/{secret}
POST /measure/{secret}
POST /measure/{secret}/look
GET /ask
GET /ask/thanks
POST /ask
* /static
"""
_HELPER: Final = """
POST /sign-out
GET /account
POST /account/password
POST /account/strength
POST /account/known
POST /account/step
POST /account/step/on
POST /account/step/off
POST /account/step/codes
GET /
GET /orders/{number}/bench
POST /orders/{number}/bench
POST /orders/{number}/bench/place
POST /orders/{number}/bench/follow
GET /orders/{number}/in-hand
POST /orders/{number}/in-hand
GET /api/v1/orders/{number}/work-ticket.pdf
GET /api/v1/orders/{number}/stitch-chart.pdf
GET /api/v1/orders/{number}/bench
GET /api/v1/orders/{number}/bench/state
POST /api/v1/orders/{number}/bench/events
POST /api/v1/orders/{number}/bench/place
POST /api/v1/orders/{number}/bench/follow
POST /api/v1/orders/{number}/in-hand
"""
_MAKER: Final = """
GET /orders/{number}
GET /accounts
POST /accounts
POST /accounts/{account_id}/link
POST /accounts/{account_id}/shut
POST /accounts/keys
POST /accounts/keys/{key_id}/shut
GET /openapi.json
HEAD /openapi.json
GET /docs
POST /api/v1/checks
POST /api/v1/stock-sizes
POST /api/v1/plans
POST /api/v1/orders
GET /api/v1/orders
GET /api/v1/orders/{number}
PATCH /api/v1/orders/{number}
POST /api/v1/orders/{number}/state
PUT /api/v1/orders/{number}/outcome
GET /api/v1/orders/{number}/care-sheet.pdf
GET /api/v1/orders/{number}/care-sheet.html
GET /api/v1/orders/{number}/quote.pdf
GET /api/v1/orders/{number}/measuring-guide.pdf
GET /api/v1/orders/{number}/parcel-slip.pdf
GET /api/v1/papers/measuring-guide.pdf
GET /api/v1/papers/labels.pdf
GET /api/v1/yarns/{yarn_id}/size-sheet.pdf
GET /api/v1/orders/{number}/money
POST /api/v1/orders/{number}/payments
POST /api/v1/orders/{number}/invoices
POST /api/v1/orders/{number}/credit-notes
GET /api/v1/bills/{number}.pdf
GET /api/v1/orders/{number}/deliveries
GET /api/v1/orders/{number}/deliveries/draft
POST /api/v1/orders/{number}/deliveries
POST /api/v1/orders/{number}/deliveries/paper
POST /api/v1/orders/{number}/deliveries/{delivery}/again
POST /api/v1/orders/{number}/deliveries/{delivery}/by-hand
GET /api/v1/orders/{number}/deliveries/{delivery}/papers/{paper}
GET /api/v1/mail
GET /api/v1/mail-templates
POST /api/v1/mail-templates/preview
GET /api/v1/mail-templates/{kind}
PUT /api/v1/mail-templates/{kind}
DELETE /api/v1/mail-templates/{kind}
POST /api/v1/orders/{number}/owner-links
GET /api/v1/orders/{number}/owner-links
DELETE /api/v1/orders/{number}/owner-links/{link}
GET /api/v1/orders/{number}/owner-numbers
POST /api/v1/orders/{number}/owner-numbers/{numbers}/take-over
POST /api/v1/orders/{number}/owner-numbers/{numbers}/decline
GET /api/v1/bench/paces
GET /api/v1/shop
PUT /api/v1/shop
GET /api/v1/yarns
POST /api/v1/yarns
GET /api/v1/yarns/{yarn_id}
PUT /api/v1/yarns/{yarn_id}
DELETE /api/v1/yarns/{yarn_id}
POST /api/v1/yarns/{yarn_id}/swatches
DELETE /api/v1/yarns/{yarn_id}/swatches/{swatch_id}
GET /api/v1/shopping-list
GET /api/v1/queue
GET /api/v1/figures
GET /api/v1/orders/{number}/fit-suggestion
GET /api/v1/orders/{number}/earnings
GET /api/v1/calendar
GET /api/v1/calendar/addresses
POST /api/v1/calendar/addresses
DELETE /api/v1/calendar/addresses/{address}
POST /api/v1/queue/trials
GET /api/v1/today
GET /api/v1/bills/{number}.html
GET /api/v1/bring-in/sample.csv
GET /api/v1/bring-in/{file_id}
POST /api/v1/bring-in
POST /api/v1/bring-in/{file_id}/do
GET /api/v1/dogs
GET /api/v1/orders/{number}/again
GET /api/v1/orders/{number}/measuring-guide.html
GET /api/v1/orders/{number}/parcel-slip.html
GET /api/v1/orders/{number}/quote.html
GET /api/v1/papers/labels.html
GET /api/v1/papers/measuring-guide.html
GET /api/v1/prints/{print_id}
GET /api/v1/prints/{print_id}/tickets.pdf
POST /api/v1/prints
GET /api/v1/yarns/{yarn_id}/size-sheet.html
GET /bring-in
GET /bring-in/sample.csv
GET /bring-in/{file_id}
POST /bring-in
POST /bring-in/{file_id}/do
GET /api/v1/take-out/everything.{kind}
GET /api/v1/buyers
GET /api/v1/buyers/{buyer_id}/data.zip
POST /api/v1/buyers/{buyer_id}/erase
GET /buyers
POST /buyers/erase-old
GET /buyers/{buyer_id}
POST /buyers/{buyer_id}/erase
GET /tickets
GET /tickets/prints/{print_id}
POST /tickets
PUT /api/v1/orders/{number}/together/{other}
DELETE /api/v1/orders/{number}/together
POST /api/v1/orders/{number}/together/state
GET /api/v1/drafts
POST /api/v1/drafts
GET /api/v1/drafts/{draft_id}
PUT /api/v1/drafts/{draft_id}
DELETE /api/v1/drafts/{draft_id}
GET /api/v1/enquiries
POST /api/v1/enquiries
GET /api/v1/enquiries/{enquiry_id}
POST /api/v1/enquiries/{enquiry_id}/looked
DELETE /api/v1/enquiries/{enquiry_id}
POST /api/v1/buyers/erase-old
POST /orders/{number}/together
POST /orders/{number}/together/state
POST /orders/{number}/apart
POST /drafts/{draft_id}/throw-away
POST /orders/shape
POST /orders/{number}/credit
GET /orders
GET /orders/new
POST /orders/new
GET /orders/{number}/edit
POST /orders/{number}/edit
POST /orders/{number}/state
POST /orders/{number}/correct
POST /orders/{number}/accept
POST /orders/{number}/payment
POST /orders/{number}/outcome
POST /orders/{number}/collar
POST /orders/{number}/invoice
POST /orders/{number}/credit-note
GET /orders/{number}/papers
GET /orders/{number}/papers/{kind}
GET /orders/{number}/papers/{kind}/letter
POST /orders/{number}/papers/{kind}
POST /orders/{number}/handed/{kind}
POST /orders/{number}/deliveries/{delivery}/again
POST /orders/{number}/deliveries/{delivery}/by-hand
GET /mails
GET /mails/{kind}
POST /mails/{kind}
GET /yarns
POST /yarns
GET /yarns/shopping
GET /yarns/{yarn_id}
POST /yarns/{yarn_id}
POST /yarns/{yarn_id}/remove
POST /yarns/{yarn_id}/swatches
POST /yarns/{yarn_id}/swatches/{swatch_id}/remove
GET /shop
POST /shop
GET /queue
GET /figures
POST /orders/{number}/fitting
GET /queue/calendar
POST /queue/calendar
POST /queue/calendar/takeback
GET /queue/calendar.ics
POST /orders/{number}/asklink
POST /orders/{number}/takeback
POST /orders/{number}/takeover
POST /orders/{number}/leave
GET /enquiries
GET /enquiries/{enquiry_id}
POST /enquiries/{enquiry_id}/looked
POST /enquiries/{enquiry_id}/delete
"""
TABLE: Final[dict[str, Who]] = {
    line: who
    for who, lines in ((Who.ANYONE, _ANYONE), (Who.HELPER, _HELPER), (Who.MAKER, _MAKER))
    for line in lines.split("\n")
    if line
}
"""From a method and a route's path to who may use it; `*` is every method of what is mounted."""

_ASKING: Final = frozenset(
    f"POST /api/v1/{path}"
    for path in (
        "checks", "plans", "stock-sizes", "orders/{number}/in-hand", "queue/trials",
        "mail-templates/preview",
    )
)  # fmt: skip
"""What is posted only because it is long, and changes nothing."""
_PAPERS: Final = ("/deliveries", "/invoices", "/credit-notes", ".pdf", ".html")


def scope_of(line: str) -> Scope:
    """Return what a key must be good for to use a line of the table."""
    if line.endswith(_PAPERS) or "/deliveries/" in line:
        return Scope.PAPERS
    return Scope.READ if line.startswith(("GET ", "HEAD ")) or line in _ASKING else Scope.WRITE
