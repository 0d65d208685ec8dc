"""How much smaller than the dog a hood is made, how far it gives, and how exact a tape is."""

from math import inf

from sizing.doctor.spreads import TAPE_PLACE, TAPE_SHARE
from sizing.dogs import Measurements, Risk
from sizing.exactness import COAT_SD, TAPE_SD
from sizing.fit import reduction, target
from sizing.joining import edge_strain
from sizing.stretch import MOST_STRAIN, StretchTest, by_fibre, stretch_of
from sizing.units import inches
from sizing.wearing import collar_band
from tests.sizing.builders import ACRYLIC, COTTON_BLEND, INCH, spaniel, yarn
from tests.sizing.outside import sources
from tests.sizing.outside.check import Check, Within
from tests.sizing.outside.geometry import worked

NONE: frozenset[Risk] = frozenset()
SHORT = frozenset({Risk.SHORT_NOSED})
TESTED = StretchTest(relaxed=100, tug=122, limit=150, after=103)
MIDDLE_GIRTH = 35.0
"""cm: the middle of the girths of 30 to 40 cm that repeated readings were made on."""


def _strip(fibres: tuple[tuple[object, int], ...] = ACRYLIC) -> float:
    """Inches of the strip that is aimed at for a 14 in neck."""
    less = reduction(by_fibre(yarn(fibres)), NONE)  # type: ignore[arg-type] # as in the builders
    return inches(target(spaniel(), less).collar_girth)


def _less(risks: frozenset[Risk] = NONE) -> float:
    return 100 * reduction(by_fibre(yarn()), risks).collar


def _tape_cm() -> float:
    """How far one reading of a 35 cm girth is off, as the doctor takes it: one sd."""
    mm = 10 * MIDDLE_GIRTH
    return float(((TAPE_SHARE.value * mm) ** 2 + TAPE_PLACE.value**2) ** 0.5 / 10)


def _toy_strip() -> float:
    toy = Measurements(50, 8 * INCH, 60, 9 * INCH)
    return inches(target(toy, reduction(by_fibre(yarn()), NONE)).collar_girth)


RIB_IS_NO_HAT = (
    "Another fabric and another part of the body: back-loop rib gives more than plain crochet,"
    " and makers of hoods take 3 in off 14. Our limit is not more than makers use, and a dog at"
    " risk gets half."
)
FINGERS = Within(share=0.01, why="a finger's breadth is more")
TWO_PEOPLE = (
    "Ours is too small if owners err as two people did on thighs, where a tape has no fixed place;"
    " no figure exists for necks. Then the doctor asks again too often, and the fit is told too"
    " sure."
)

CHECKS = (
    Check("strip-14", "Collar strip aimed at for a 14 in neck, acrylic", sources.PRACTICE, 11.0,
          _strip, "in", taken=True,
          also="test_worked_examples.py::"
          "test_a_14_in_neck_in_acrylic_gives_an_11_in_strip_of_40_rows"),
    Check("strip-made", "The strip that whole rows then give", sources.PRACTICE, 11.0,
          lambda: inches(worked().finished.collar_girth), "in", Within(0.14, why="half a row")),
    Check("strip-rows", "Its rows", sources.PRACTICE, 40.0,
          lambda: float(worked().rows.collar_rows), "rows", taken=True),
    Check("strip-blend", "The strip for that neck in a cotton blend", sources.PRACTICE,
          (13.0, 14.0), lambda: _strip(COTTON_BLEND), "in", taken=True,
          also="test_worked_examples.py::test_a_cotton_blend_is_made_far_less_short_than_acrylic"),
    Check("nape-aim", "Nape aimed at where the dog's is 4½ in", sources.PRACTICE, 4.0,
          lambda: inches(worked().target.nape), "in", taken=True,
          also="test_worked_examples.py::test_a_nape_of_4_and_a_half_in_acrylic_aims_at_4_in"),
    Check("nape-made", "The nape that whole rows then give", sources.PRACTICE, 4.0,
          lambda: inches(worked().finished.nape), "in",
          Within(0.36, why="the crown begins with every second row")),
    Check("pick-up", "Hood stitches picked up along 40 collar rows", sources.PRACTICE, 40.0,
          lambda: float(worked().rows.hood_stitches), "sts", taken=True),
    Check("edge", "How far the edge of 40 stitches is drawn on a 14 in neck", sources.PRACTICE,
          14 * INCH / (40 * 8) - 1,
          lambda: edge_strain(40, 14 * INCH, worked().gauge), "strain",
          also="test_joining.py::test_common_practice_draws_the_edge_by_a_ninth"),
    Check("comfort", "Strips of 11 to 12 in on a 14 in neck: our comfort band's upper end",
          sources.PRACTICE, (14 / 11 - 1, inf), lambda: collar_band(by_fibre(yarn()), NONE)[1],
          "strain", taken=True, also="test_wearing.py::"
          "test_2_to_3_in_short_of_a_14_in_neck_is_comfortable_in_acrylic"),
    Check("toy", "The 3 in of a 14 in neck off an 8 in one would leave 5 in; ours",
          sources.PRACTICE, (8 * 11 / 14, 8.0), _toy_strip, "in", taken=True,
          also="test_wearing.py::"
          "test_2_in_for_a_large_neck_would_throttle_a_toy_and_a_share_does_not"),
    Check("ease-hat", "Collar smaller than the neck, acrylic, beside a hat on a head",
          sources.HAT, (100 / 22, 200 / 22), _less, "%", FINGERS, differs=RIB_IS_NO_HAT,
          also="test_wearing.py::"
          "test_published_ease_lies_between_a_cotton_blends_and_stretchy_acrylics"),
    Check("ease-sock", "The same beside a sock on a foot", sources.SOCK, (10.0, 15.0), _less, "%",
          FINGERS, differs=RIB_IS_NO_HAT),
    Check("ease-gentle", "The same for a short-nosed dog, beside a sock", sources.SOCK,
          (-inf, 15.0), lambda: _less(SHORT), "%"),
    Check("ease-half", "What a short nose takes off that (any pressure is too much; no limit is"
          " published)", sources.BAILEY, (-inf, 1.0), lambda: _less(SHORT) / _less(),
          "of the usual",
          also="test_fit.py::test_a_short_nose_or_weak_eyes_halve_the_pull"),
    Check("stretch", "Stretch of a rib swatch of 100 mm at its limit of 150", sources.ISO_20932,
          (150 - 100) / 100, lambda: stretch_of(yarn(), TESTED).limit, "strain"),
    Check("growth", "Its growth, 103 mm after letting go", sources.ISO_20932, (103 - 100) / 100,
          lambda: stretch_of(yarn(), TESTED).growth, "strain"),
    Check("scarf", "Comfortable limit of an untested acrylic rib, beside a knitted scarf",
          sources.SCARF, (-inf, 1.0), lambda: by_fibre(yarn()).limit, "strain", taken=True),
    Check("ribs", "The most a stretch test is believed", sources.YELINA, (0.5, 3.0),
          lambda: MOST_STRAIN.value, "strain", taken=True),
    Check("tape-one", "One person's tape again, on 30 to 40 cm: one sd", sources.BASCUNAN,
          (0.90 / 40, 0.90 / 30), lambda: TAPE_SD.value, "of the girth", Within(0.005),
          taken=True),
    Check("tape-coat", "A thick coat under the tape: half of what clipping changed",
          sources.BASCUNAN, (1.72 / 40, 1.72 / 30), lambda: COAT_SD.value, "of the girth",
          Within(0.005, why="whole percents"), taken=True,
          also="test_surety.py::test_a_thick_coat_makes_the_tape_less_sure"),
    Check("tape-two", "A 35 cm girth read by two people, cadavers (ours: the doctor's tape)",
          sources.BASCUNAN, 2.26, _tape_cm, "cm", Within(share=0.2), differs=TWO_PEOPLE),
    Check("tape-two-live", "The same on live dogs", sources.BASCUNAN, 4.78, _tape_cm, "cm",
          Within(share=0.2), differs=TWO_PEOPLE),
    Check("tape-one-live", "A 35 cm girth read again by one person, live dogs", sources.BASCUNAN,
          1.13, _tape_cm, "cm", Within(share=0.35, why="± 0.77 there")),
)  # fmt: skip
