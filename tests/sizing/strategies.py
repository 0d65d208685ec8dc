"""Dogs, gauges, yarns, swatches and rates for the property tests.

Lengths come from bands of their own, apart from what `sizing.doctor` thinks usual, so a drawn
dog has a dog's proportions; `odd` dogs and gauges stretch them far beyond what is likely, never
beyond what is refused.
"""

from decimal import Decimal

from hypothesis import strategies as st

from sizing.dogs import Dog, Field, HeadType, Measurements, Risk
from sizing.gauge import Gauge, Swatch
from sizing.money import MINOR_UNITS
from sizing.plan import Request
from sizing.rates import FixedMinutes, Pace, Rates
from sizing.yarns import Fibre, WeightClass, Yarn

TOY_KG, GIANT_KG = 2.0, 80.0
BANDS = {
    Field.NECK_LENGTH: dict.fromkeys(HeadType, (1.7, 9.5)),
    Field.NECK_GIRTH: {
        HeadType.LONG: (11.0, 17.0),
        HeadType.MEDIUM: (11.5, 19.0),
        HeadType.SHORT: (13.0, 21.0),
        HeadType.MASTIFF: (13.5, 20.0),
    },
    Field.NAPE_LENGTH: dict.fromkeys(HeadType, (2.6, 7.5)),
    Field.FACE_GIRTH: {
        HeadType.LONG: (10.5, 17.0),
        HeadType.MEDIUM: (11.5, 19.0),
        HeadType.SHORT: (13.0, 21.0),
        HeadType.MASTIFF: (14.0, 20.5),
    },
}
"""cm per kg^(1/3), low and high: 10 to 20 brackets the few published girths (FCI-Standards 116,
249, 263, 298; Tepeli and Cetin 2003), the lengths follow from head and neck in FCI standards."""


def reals(low: float, high: float) -> st.SearchStrategy[float]:
    return st.floats(low, high, allow_nan=False, allow_infinity=False)


def weights(low: float = TOY_KG, high: float = GIANT_KG) -> st.SearchStrategy[float]:
    """Kilograms, as many small dogs as large ones."""
    return reals(low ** (1 / 3), high ** (1 / 3)).map(lambda size: min(max(size**3, low), high))


def of_weight(kg: float, head: HeadType, places: dict[Field, float]) -> Measurements:
    """A dog's four lengths; each place runs from 0, the low end of its band, to 1, the high."""
    lengths = {}
    for field in Field:
        low, high = BANDS[field][head]
        lengths[field.value] = 10 * kg ** (1 / 3) * low * (high / low) ** places[field]
    return Measurements(**lengths)


@st.composite
def dogs(draw: st.DrawFn, low: float = TOY_KG, high: float = GIANT_KG) -> tuple[Dog, Measurements]:
    """A dog and its four lengths, anywhere within the bands of its weight and head."""
    head = draw(st.sampled_from(HeadType))
    kg = draw(weights(low, high))
    places = {field: draw(reals(0.0, 1.0)) for field in Field}
    risks = draw(st.frozensets(st.sampled_from(Risk), max_size=2))
    return Dog(weight_kg=kg, head=head, risks=risks), of_weight(kg, head, places)


@st.composite
def odd_measurements(draw: st.DrawFn) -> Measurements:
    """Four lengths from a newborn's to an elephant's, in no proportion to each other."""
    return Measurements(*(draw(reals(1.0, 1200.0)) for _ in Field))


@st.composite
def coherent_gauges(draw: st.DrawFn) -> Gauge:
    """A gauge as a hand makes it: rows a little closer than stitches, rib near plain."""
    stitches = draw(reals(4.0, 42.0))
    rows = stitches * draw(reals(0.9, 1.4))
    rib = draw(reals(0.85, 1.15))
    return Gauge(stitches * rib, rows * rib, stitches, rows, tested=True)


@st.composite
def odd_gauges(draw: st.DrawFn) -> Gauge:
    """Any gauge that is not refused."""
    rib_stitches, rib_rows, stitches, rows = (draw(reals(2.0, 80.0)) for _ in range(4))
    return Gauge(rib_stitches, rib_rows, stitches, rows, tested=True)


def gauges() -> st.SearchStrategy[Gauge]:
    return st.one_of(coherent_gauges(), odd_gauges())


@st.composite
def fibre_mixes(draw: st.DrawFn) -> tuple[tuple[Fibre, int], ...]:
    """One to four fibres whose whole percents add up to 100."""
    fibres = draw(st.lists(st.sampled_from(Fibre), min_size=1, max_size=4, unique=True))
    cuts = draw(
        st.lists(
            st.integers(1, 99), min_size=len(fibres) - 1, max_size=len(fibres) - 1, unique=True
        )
    )
    marks = [0, *sorted(cuts), 100]
    return tuple(
        (fibre, high - low) for fibre, low, high in zip(fibres, marks[:-1], marks[1:], strict=True)
    )


@st.composite
def yarns(draw: st.DrawFn) -> Yarn:
    return Yarn(
        name="Any",
        fibres=draw(fibre_mixes()),
        weight_class=draw(st.sampled_from(WeightClass)),
        ball_metres=draw(reals(10.0, 1000.0)),
        ball_grams=draw(reals(10.0, 500.0)),
        ball_price=draw(st.decimals(0, 200, places=2)),
    )


@st.composite
def swatches(draw: st.DrawFn) -> Swatch:
    gauge = draw(gauges())
    weighed = draw(st.booleans())
    return Swatch(
        rib_stitches=gauge.rib_stitches,
        rib_rows=gauge.rib_rows,
        plain_stitches=gauge.plain_stitches,
        plain_rows=gauge.plain_rows,
        hook_mm=draw(st.none() | reals(0.5, 30.0)),
        weighed_grams=draw(reals(0.5, 100.0)) if weighed else None,
        weighed_stitches=draw(st.integers(10, 2000)) if weighed else None,
    )


@st.composite
def rates(draw: st.DrawFn) -> Rates:
    def money(most: int) -> Decimal:
        return draw(st.decimals(0, most, places=2))

    def share(most: str) -> Decimal:
        return draw(st.decimals(0, Decimal(most), places=3))

    return Rates(
        currency=draw(st.sampled_from(sorted(MINOR_UNITS))),
        wage_per_hour=money(60_000),
        pace=Pace(*(draw(reals(1.0, 200.0)) for _ in range(5))),
        minutes=FixedMinutes(*(draw(reals(0.0, 120.0)) for _ in range(4))),
        allowance=draw(reals(0.0, 0.9)),
        overhead=share("1"),
        margin=share("0.9"),
        fee_share=share("0.4"),
        fee_fixed=money(50),
        tax=share("1"),
    )


@st.composite
def requests(draw: st.DrawFn) -> Request:
    """Everything that an order can bring."""
    dog, measurements = draw(dogs())
    return Request(
        dog=dog,
        measurements=measurements,
        yarn=draw(yarns()),
        rates=draw(rates()),
        swatch=draw(st.none() | swatches()),
        hook_mm=draw(st.none() | reals(0.5, 30.0)),
    )
