"""An order answered whole after it was changed."""

from fastapi import Response
from sqlmodel import Session

from service.orderout import OrderOut, order_out
from service.orders import found
from service.web.dependencies import etag


def whole(session: Session, number: str, response: Response) -> OrderOut:
    """Return an order whole, its version in the answer's ETag.

    Raises:
        NotFoundError: if there is none of that number.
    """
    order = order_out(found(session, number))
    response.headers["ETag"] = etag(order.version)
    return order
