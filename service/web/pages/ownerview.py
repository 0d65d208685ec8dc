"""The owner's part of an order's page, decided: what was measured, and the links that are out."""

from dataclasses import dataclass
from datetime import datetime
from typing import Final

from sqlmodel import Session

from service.bodies import OrderIn
from service.models import Order, OwnerNumbers
from service.owner.asking import WAITING, is_good, links_of
from service.owner.bodies import LinkOut, NumbersOut, link_out, numbers_out
from service.owner.numbers import numbers_of, told_again
from service.owner.words import judged
from service.planbodies import FindingOut
from service.planout import finding_out
from service.states import EDITABLE, State
from service.web.pages.words import MEASURES, MORE_MEASURES
from sizing.doctor.learn import Prior
from sizing.units import read_length, show_length

_NAMES: Final = {name: label for name, label, _ in (*MEASURES, *MORE_MEASURES)}
_TIMES: Final = {1: "taken once", 2: "taken twice"}


@dataclass(frozen=True, slots=True)
class Row:
    """One number: what the order has, and what the owner measured."""

    name: str
    now: str
    measured: str
    times: str
    readings: str
    changed: bool


@dataclass(frozen=True, slots=True)
class Measured:
    """What an owner sent, to be taken over or declined.

    Attributes:
        sent: as on the wire.
        rows: the numbers beside those of the order.
        findings: what is odd about the owner's numbers.
        apart: the names of lengths whose two readings differ by more than a tape explains.
    """

    sent: NumbersOut
    rows: tuple[Row, ...]
    findings: tuple[FindingOut, ...]
    apart: tuple[str, ...]


@dataclass(frozen=True, slots=True)
class OwnerView:
    """What there is to say of the owner on an order's page."""

    measured: tuple[Measured, ...]
    links: tuple[LinkOut, ...]
    open: bool


def _beside(taken: str, asked: OrderIn) -> str:
    """Return a length as the owner's tape had it, and in the order's unit where that differs."""
    here = show_length(read_length(taken, asked.unit).value, asked.unit)
    return taken if here.rpartition(" ")[2] == taken.rpartition(" ")[2] else f"{taken} = {here}"


def _rows(sent: NumbersOut, asked: OrderIn) -> tuple[Row, ...]:
    rows = []
    for one in sent.lengths:
        now = show_length(read_length(one.now, asked.unit).value, asked.unit) if one.now else ""
        readings = " and ".join(f"“{text}”" for text in one.readings)
        times, name = _TIMES[one.times], _NAMES[one.field]
        rows.append(Row(name, now, _beside(one.taken, asked), times, readings, now != one.taken))
    if sent.weight:
        differs = sent.weight != sent.weight_now
        rows.append(Row("Weight", sent.weight_now, sent.weight, "", "", differs))
    return tuple(rows)


def _measured(row: OwnerNumbers, asked: OrderIn, prior: Prior) -> Measured:
    sent, told = numbers_out(row, asked), told_again(row, asked)
    return Measured(
        sent=sent,
        rows=_rows(sent, asked),
        findings=tuple(finding_out(one) for one in judged(told, asked.dog, prior).findings),
        apart=tuple(_NAMES[name].lower() for name, twice in told.lengths.items() if twice.apart),
    )


def owner_view(session: Session, order: Order, prior: Prior, now: datetime) -> OwnerView:
    """Return the owner's part of an order's page at a moment."""
    waiting = [row for row in numbers_of(session, order) if row.state == WAITING]
    asked = OrderIn.model_validate(order.asked) if waiting else None
    return OwnerView(
        measured=tuple(_measured(row, asked, prior) for row in waiting) if asked else (),
        links=tuple(link_out(one, now) for one in links_of(session, order) if is_good(one, now)),
        open=State(order.state) in EDITABLE,
    )
