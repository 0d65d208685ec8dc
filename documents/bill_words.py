"""What quotes, invoices and credit notes say whatever the order."""

from enum import StrEnum
from typing import Final

from documents.language import mark


class Kind(StrEnum):
    """The documents about money."""

    QUOTE = "quote"
    INVOICE = "invoice"
    RECEIPT = "receipt"
    CREDIT = "credit note"


TITLES: Final = {
    Kind.QUOTE: mark("Quote {number}"),
    Kind.INVOICE: mark("Invoice {number}"),
    Kind.RECEIPT: mark("Invoice and receipt {number}"),
    Kind.CREDIT: mark("Credit note {number}"),
}
TOTALS: Final = {
    Kind.QUOTE: mark("Total"),
    Kind.INVOICE: mark("Total"),
    Kind.RECEIPT: mark("Total"),
    Kind.CREDIT: mark("Total credited"),
}
CLOSED_COLLAR: Final = mark("Ribbed collar in one closed tube, pulled on over the head")
BUTTONED_COLLAR: Final = mark("Ribbed collar that opens and closes with buttons")

CAUTION: Final = mark(
    "Caution: the hood is worn only under supervision. It is not a medical device: ask your vet."
)
LAW: Final = mark(
    "The tax and consumer law of the place decides on tax, payment, withdrawal and returns,"
    " whatever is written here."
)
NO_TAX: Final = mark("No tax shown.")
CANCELLED_TITLE: Final = mark("The invoice is cancelled")
CANCELLED: Final = mark(
    "This credit note cancels invoice {number} in full. Nothing is left to pay on it."
)
CLOSED: Final = mark(
    "This credit note takes the last {amount} off invoice {number}. Nothing is left to pay on it."
)
LESSENED_TITLE: Final = mark("The invoice is lower now")
LESSENED: Final = mark(
    "This credit note takes {amount} off invoice {number}. The rest of the invoice stands."
)
QUOTE_OPEN: Final = mark("Ask whether the quote still holds before you order.")
"""Said where no last day is set."""
