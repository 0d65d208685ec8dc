"""One buyer's data taken out: what is kept of a person, for that person."""

import io
import json
import zipfile
from collections.abc import Iterable
from datetime import datetime
from typing import Any, Final

from sqlmodel import Session, SQLModel, col, select

from service.models import (
    BenchEvent,
    Bill,
    Delivery,
    OrderEvent,
    Outcome,
    OwnerLink,
    OwnerNumbers,
    PaperCopy,
    Payment,
)
from service.persons.buyers import person_of
from service.takeout.tables import plain_value

OF_ORDERS: Final[tuple[type[SQLModel], ...]] = (
    OrderEvent, Outcome, Payment, Bill, Delivery, OwnerLink, OwnerNumbers, BenchEvent,
)  # fmt: skip
_SECRET: Final = frozenset({"token_hash", "mark"})
_ENDINGS: Final = {"application/pdf": "pdf", "text/html": "html"}
_READ_ME: Final = """\
This is what the shop keeps of you: data.json has it as it is kept, table by table; the folder
papers has the papers that were sent or handed to you, as they were. Moments are in UTC.
"""


def _plain(rows: Iterable[SQLModel]) -> list[dict[str, Any]]:
    found = []
    for row in rows:
        columns = row.__table__.columns  # type: ignore[attr-defined]
        found.append(
            {one.name: plain_value(one, getattr(row, one.name)) for one in columns
             if one.name not in _SECRET}
        )  # fmt: skip
    return found


def data_of(session: Session, buyer_id: int) -> dict[str, list[dict[str, Any]]]:
    """Return all rows that are a buyer's, by table.

    Raises:
        NotFoundError: if there is no such buyer.
    """
    person = person_of(session, buyer_id)
    ids = [order.id for order in person.orders]
    told = {
        "buyer": _plain(person.buyers),
        "dog": _plain(person.dogs),
        "hood_order": _plain(person.orders),
        "enquiry": _plain(person.enquiries),
    }
    for kind in OF_ORDERS:
        query = select(kind).where(col(kind.order_id).in_(ids)).order_by(col(kind.id))  # type: ignore[attr-defined]
        told[str(kind.__tablename__)] = _plain(session.exec(query))
    return told


def told_to(session: Session, buyer_id: int, now: datetime) -> bytes:
    """Return a zip of a buyer's data as JSON, with their papers.

    Raises:
        NotFoundError: if there is no such buyer.
    """
    told = data_of(session, buyer_id)
    numbers = {one["id"]: one["number"] for one in told["hood_order"]}
    papers = session.exec(select(PaperCopy).where(col(PaperCopy.order_id).in_(list(numbers))))
    out = io.BytesIO()
    with zipfile.ZipFile(out, "w", zipfile.ZIP_DEFLATED) as whole:
        document = {"at": now.isoformat(), **told}
        whole.writestr("data.json", json.dumps(document, ensure_ascii=False, indent=1))
        whole.writestr("READ-ME.txt", _READ_ME)
        for paper in papers:
            # Names of our own making: none that is kept could lead out of the folder.
            ending = _ENDINGS.get(paper.media, "txt")
            whole.writestr(f"papers/{numbers[paper.order_id]}-{paper.id}.{ending}", paper.content)
    return out.getvalue()
