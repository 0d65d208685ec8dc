"""The shapes of links and of owners' numbers on the wire."""

from datetime import datetime
from typing import Annotated

from pydantic import Field

from service.bodies import OrderIn
from service.fields import Body, Line
from service.models import OwnerLink, OwnerNumbers
from service.owner.asking import GOOD_FOR, LONGEST, is_good
from service.owner.numbers import told_again
from service.planbodies import Out
from sizing.units import LengthUnit


class LinkIn(Body):
    """A link to make: the language of its page, and for how many days it is good.

    Without a language it is the one of the order's papers.
    """

    language: Line = Field(default="", examples=["de"])
    days: Annotated[int, Field(ge=1, le=LONGEST)] = GOOD_FOR.days


class LinkOut(Out):
    """A link; its address is told once, when it is made, and kept nowhere."""

    id: int
    purpose: str
    language: str
    made_at: datetime
    expires_at: datetime
    revoked_at: datetime | None
    good: bool
    address: str | None = None


class MeasuredOut(Out):
    """One length that an owner took: both readings as typed, and what they come to."""

    field: str
    readings: list[str]
    times: int
    taken: str
    now: str


class NumbersOut(Out):
    """What an owner measured; `version` has to be named when it is taken over."""

    id: int
    link: int
    state: str
    version: int
    sent_at: datetime
    settled_at: datetime | None
    unit: LengthUnit
    lengths: list[MeasuredOut]
    weight: str
    weight_now: str
    note: str


def link_out(link: OwnerLink, now: datetime, address: str | None = None) -> LinkOut:
    """Return a link for the wire."""
    return LinkOut(
        id=link.id or 0,
        purpose=link.purpose,
        language=link.language,
        made_at=link.made_at,
        expires_at=link.expires_at,
        revoked_at=link.revoked_at,
        good=is_good(link, now),
        address=address,
    )


def numbers_out(row: OwnerNumbers, asked: OrderIn) -> NumbersOut:
    """Return an owner's numbers for the wire, beside those of the order as it is now."""
    told = told_again(row, asked)
    taken = told.taken()
    return NumbersOut(
        id=row.id or 0,
        link=row.link_id,
        state=row.state,
        version=row.version,
        sent_at=row.sent_at,
        settled_at=row.settled_at,
        unit=told.unit,
        lengths=[
            MeasuredOut(
                field=name,
                readings=[one.text for one in twice.readings if one.text],
                times=len(twice.known),
                taken=taken[name],
                now=getattr(asked.measurements, name) or "",
            )
            for name, twice in told.lengths.items()
            if name in taken
        ],
        weight=told.weight,
        weight_now=asked.dog.weight,
        note=told.note,
    )
