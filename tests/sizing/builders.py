"""Ready-made values for the tests, each a plain case that a test can change."""

from decimal import Decimal

from sizing.dogs import Dog, Measurements
from sizing.gauge import Swatch
from sizing.plan import Request
from sizing.rates import Rates
from sizing.rowplan import RowPlan
from sizing.yarns import Fibre, WeightClass, Yarn

INCH = 25.4
"""Millimetres, exactly, since the agreement of 1959."""

ACRYLIC = ((Fibre.ACRYLIC, 100),)
COTTON_BLEND = ((Fibre.COTTON, 50), (Fibre.ACRYLIC, 50))


def yarn(
    fibres: tuple[tuple[Fibre, int], ...] = ACRYLIC,
    weight_class: WeightClass = WeightClass.MEDIUM,
    *,
    metres: float = 200,
    grams: float = 100,
    price: str = "6.00",
) -> Yarn:
    return Yarn("Plain", fibres, weight_class, metres, grams, Decimal(price))


def spaniel() -> Measurements:
    """A dog with the 14 in neck and 4 1/2 in nape of the worked examples."""
    return Measurements(
        neck_length=4 * INCH, neck_girth=14 * INCH, nape_length=4.5 * INCH, face_girth=15 * INCH
    )


def request(
    measurements: Measurements | None = None,
    *,
    dog: Dog | None = None,
    wool: Yarn | None = None,
    swatch: Swatch | None = None,
    rates: Rates | None = None,
) -> Request:
    return Request(
        dog=dog or Dog(weight_kg=14),
        measurements=measurements or spaniel(),
        yarn=wool or yarn(),
        rates=rates or Rates(),
        swatch=swatch,
    )


def row_plan(hood_stitches: int = 40, *, high: int = 10) -> RowPlan:
    """Six decreasing rows in the nape, then five in the crown: 40, 28, 8 stitches."""
    return RowPlan(
        collar_stitches=high,
        collar_rows=hood_stitches,
        hood_rows=24,
        crown_row=15,
        pairs=(1,) * 6 + (2,) * 5,
    )
