"""Work in hand planned again, and stock sizes: computed from what is kept, not kept."""

from dataclasses import replace

from service.planbodies import GaugeOut
from service.planning import swatch_of, yarn_of
from service.planout import dimensions_out, part_out
from service.reading import Reader
from service.workbodies import (
    InHandIn,
    ReplanOut,
    SpanOut,
    StockDogOut,
    StockIn,
    StockOut,
    StockSizeOut,
)
from sizing.fit import Dimensions
from sizing.plan import Plan
from sizing.replan import InHand, Replan, replan
from sizing.rows import PartName
from sizing.sizes import StockSize
from sizing.stock import Stock, stock_of
from sizing.units import LengthUnit
from sizing.wording import Terms


def in_hand_of(asked: InHandIn, unit: LengthUnit) -> InHand:
    """Return the piece in hand of the core.

    Raises:
        UnreadableError: naming each length that cannot be read.
        ValueOutOfRangeError: if it is no piece of a hood.
    """
    read = Reader(unit)
    width, length = read.needed("width", asked.width), read.needed("length", asked.length)
    read.refuse()
    return InHand(
        PartName(asked.part), asked.rows_made, asked.stitches_now, width or 0.0, length or 0.0
    )


def _aim(plan: Plan) -> Dimensions:
    """Return what a plan aims at.

    Plans made by an earlier version name the usual collar where one was wished that goes over the
    head; what they finish is then what was aimed at.
    """
    made = plan.finished.collar_girth
    if made - plan.target.collar_girth <= 2 * plan.gauge.rib_row_mm:
        return plan.target
    return replace(plan.target, collar_girth=made)


def judged(plan: Plan, asked: InHandIn, unit: LengthUnit) -> Replan:
    """Return what to do with a piece in hand that was begun by a plan.

    Raises:
        UnreadableError, ValueOutOfRangeError: if the piece cannot be read or gone on with.
    """
    return replan(plan.rows, plan.gauge, _aim(plan), in_hand_of(asked, unit), plan.make)


def replan_out(again: Replan, terms: Terms) -> ReplanOut:
    """Return a piece in hand, judged, for the wire."""
    return ReplanOut(
        verdict=again.verdict,
        row=again.row,
        why=again.why,
        changed=again.changed,
        hook_mm_change=again.hook_mm_change,
        gauge=GaugeOut.model_validate(again.hand.gauge, from_attributes=True),
        believed=again.hand.plausible,
        unchanged=dimensions_out(again.unchanged),
        carried_on=dimensions_out(again.carried_on),
        finished=dimensions_out(again.finished),
        rest=[part_out(part, terms) for part in again.rest.parts],
    )


def stock_for(asked: StockIn) -> Stock:
    """Return the stock sizes in a yarn.

    Raises:
        ValueOutOfRangeError: if yarn or swatch cannot be.
    """
    return stock_of(yarn_of(asked.yarn), swatch_of(asked.swatch), asked.heads)


def _dogs(stock: Stock, places: tuple[int, ...]) -> list[StockDogOut]:
    return [StockDogOut.model_validate(stock.dogs[place]) for place in places]


def _size(stock: Stock, size: StockSize) -> StockSizeOut:
    return StockSizeOut(
        number=size.number,
        finished=dimensions_out(size.finished),
        neck_girth=SpanOut.model_validate(size.neck_girth),
        gentle_neck=size.gentle_neck and SpanOut.model_validate(size.gentle_neck),
        nape_length=SpanOut.model_validate(size.nape_length),
        face_girth=SpanOut.model_validate(size.face_girth),
        head_girth=size.finished.collar_girth * (1 + stock.limit),
        fits=_dogs(stock, size.fits),
    )


def stock_out(stock: Stock) -> StockOut:
    """Return stock sizes for the wire."""
    return StockOut(
        sizes=[_size(stock, size) for size in stock.table.sizes],
        without=_dogs(stock, stock.table.without),
    )
