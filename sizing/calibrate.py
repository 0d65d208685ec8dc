"""How much more or less yarn this maker uses than the model says: three ways to know better.

In order: some stitches undone and measured, a swatch weighed, finished hoods weighed. Each is
an observation of the same factor with its own error, so all that are there count, each by how
sure it is (`sizing.shrink`).
"""

from math import sqrt
from typing import Final

from sizing.evidence import Fact, derived, memory, published
from sizing.gauge import Gauge, Swatch
from sizing.shrink import Belief, Observation, learned
from sizing.strand import LENGTH_SD, MM_PER_METRE, prior_of, sc_mm
from sizing.yarns import Yarn

STRAIGHTENED_SD: Final = Fact(
    0.03, "log", memory("judgement: crimp left in, or stretched, when laid along a ruler")
)
ONE_STITCH_SD: Final = Fact(
    0.10, "log", memory("judgement: one stitch against the next; ten of them err a third of it")
)
SCALE_SD: Final = Fact(
    1 / sqrt(3), "g", derived("a kitchen scale is out by up to 1 g, evenly: 1 g / root 3")
)
BAND_SD: Final = Fact(0.02, "log", memory("judgement: metres and grams printed on a ball band"))
SWATCH_SD: Final = Fact(
    0.05, "log", memory("judgement: a hood is not worked quite as its swatch; none is published")
)
HOOD_SD: Final = Fact(
    0.05, "log", memory("judgement: the same hood twice; gauge drifts with mood (blogs, weak)")
)
YARNS_APART: Final = Fact(
    0.12, "log", published("a hand's tension changes the yarn used by 10 to 20 % (a blog, weak)")
)
MAKER: Final = Belief(0.0, LENGTH_SD.value)
"""What is believed of a maker before any hood of theirs was weighed."""
UNMEASURED: Final = "stitch size only: weigh or unravel a swatch to narrow this"


def _unravelled(swatch: Swatch, expected: float) -> Observation | None:
    if swatch.unravelled_mm is None or swatch.unravelled_stitches is None:
        return None
    each = swatch.unravelled_mm / swatch.unravelled_stitches
    spread = ONE_STITCH_SD.value**2 / swatch.unravelled_stitches
    return Observation(expected, each, sqrt(STRAIGHTENED_SD.value**2 + spread))


def _scale_sd(grams: float) -> float:
    """Return the error of a weighing, as the sd of its log."""
    return SCALE_SD.value / grams


def _weighed(swatch: Swatch, yarn: Yarn, expected: float) -> Observation | None:
    if swatch.weighed_grams is None or swatch.weighed_stitches is None:
        return None
    metres = swatch.weighed_grams / swatch.weighed_stitches / yarn.grams_per_metre
    error = sqrt(_scale_sd(swatch.weighed_grams) ** 2 + BAND_SD.value**2)
    return Observation(expected, metres * MM_PER_METRE.value, error)


_CALLED: Final = {
    "unravelled_mm": "your unravelled swatch",
    "weighed_grams": "your weighed swatch",
}


def ways_of(swatch: Swatch, yarn: Yarn) -> dict[str, Observation]:
    """Return what a swatch says of the yarn in a plain sc, by the field that measures it."""
    expected, _ = sc_mm(swatch.gauge(), yarn)
    ways = (_unravelled(swatch, expected), _weighed(swatch, yarn, expected))
    return {field: one for field, one in zip(_CALLED, ways, strict=True) if one}


def swatch_observation(swatch: Swatch, yarn: Yarn) -> tuple[Observation | None, tuple[str, ...]]:
    """Return what a swatch says of the yarn in a plain sc, and in which ways it was measured.

    Unravelled and weighed are combined by their precision; that a hood is not worked quite
    as its swatch is added once, since it is the same swatch.
    """
    ways = ways_of(swatch, yarn)
    if not ways:
        return None, ()
    first, *others = ways.values()
    both = learned(Belief(first.seen, first.sd), others)
    sd = sqrt(both.sd**2 + SWATCH_SD.value**2)
    one = Observation(first.expected, first.expected * both.factor, sd)
    return one, tuple(_CALLED[field] for field in ways)


def belief_of(
    yarn: Yarn, gauge: Gauge, swatch: Swatch | None, finished: Belief | None
) -> tuple[Belief, str]:
    """Return what is believed of the factor for this hood, and from what.

    Args:
        yarn: the yarn.
        gauge: of the hood.
        swatch: the maker's, or None.
        finished: learned from the maker's finished hoods; None before there are any.
    """
    belief = prior_of(gauge, yarn) if finished is None else finished
    one, names = swatch_observation(swatch, yarn) if swatch else (None, ())
    if one:
        belief = learned(belief, (one,))
    if finished is not None:
        names = (*names, "your finished hoods")
    return belief, " and ".join(names) or UNMEASURED


def hood_observation(model_grams: float, actual_grams: float) -> Observation:
    """Return what a finished hood says of the factor.

    Args:
        model_grams: what the model said at factor 1 (`YarnNeed.model_grams`).
        actual_grams: what was used, by the scale.
    """
    if not actual_grams > 0:
        return Observation(model_grams, actual_grams, 1.0)  # refused there, with its sentence
    return Observation(
        model_grams, actual_grams, sqrt(HOOD_SD.value**2 + _scale_sd(actual_grams) ** 2)
    )
