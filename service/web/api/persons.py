"""Personal data on the wire: buyers listed, one taken out, one erased."""

from typing import Annotated, Any, Final

from fastapi import Query, Response

from service.persons.bodies import BuyerOut, BuyersOut, ErasedOldOut, ErasedOut
from service.persons.buyers import buyers_like
from service.persons.forgetting import forget, forget_due
from service.persons.telling import told_to
from service.web.dependencies import HIGHEST_ID, ClockOf, DatabaseOf, IdOf, MailOf
from service.web.parts import api_part
from service.web.problems import documented

router = api_part("personal data", "/buyers")
ZIP: Final = "application/zip"
AS_ZIP: Final[dict[int | str, dict[str, Any]]] = {
    200: {"content": {ZIP: {"schema": {"type": "string", "format": "binary"}}}},
    **documented(404, 422),
}


@router.get("", responses=documented(422))
def list_buyers(
    database: DatabaseOf,
    q: Annotated[str, Query(max_length=200, description="words of name or e-mail")] = "",
    after: Annotated[int, Query(ge=0, le=HIGHEST_ID)] = 0,
) -> BuyersOut:
    """List buyers by number."""
    with database.reading() as session:
        lines, more = buyers_like(session, q, after)
    buyers = [
        BuyerOut(
            id=line.row.id or 0,
            name=line.row.name,
            email=line.row.email,
            orders=line.orders,
            latest=line.latest,
            erased_at=line.row.erased_at,
        )
        for line in lines
    ]
    return BuyersOut(buyers=buyers, after=more)


@router.get("/{buyer_id}/data.zip", response_class=Response, responses=AS_ZIP)
def take_a_buyer_out(buyer_id: IdOf, database: DatabaseOf, clock: ClockOf) -> Response:
    """Take out all that is kept of a buyer, as JSON with their papers."""
    with database.reading() as session:
        content = told_to(session, buyer_id, clock())
    headers = {
        "Content-Disposition": f'attachment; filename="buyer-{buyer_id}.zip"',
        "Cache-Control": "no-store",
    }
    return Response(content, media_type=ZIP, headers=headers)


@router.post("/erase-old")
def erase_old_buyers(database: DatabaseOf, clock: ClockOf, mail: MailOf) -> ErasedOldOut:
    """Erase the buyers that the shop's setting `forget_after` lets go. It cannot be undone."""
    return ErasedOldOut(buyers=forget_due(database, mail.folder, clock()))


@router.post("/{buyer_id}/erase", responses=documented(404, 409, 422))
def erase_a_buyer(buyer_id: IdOf, database: DatabaseOf, clock: ClockOf, mail: MailOf) -> ErasedOut:
    """Erase a buyer: the person goes, the figures of the orders stay. It cannot be undone."""
    done = forget(database, buyer_id, mail.folder, clock())
    return ErasedOut(orders=list(done.orders))
