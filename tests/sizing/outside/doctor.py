"""The measurement doctor: its picture of a dog, beside published dogs."""

from math import exp, inf, log, sqrt

import numpy as np

from sizing.breeds import find
from sizing.doctor import picture, subject_of
from sizing.doctor.model import size_of
from sizing.doctor.spreads import BASE_OF_NECK, EXPONENTS, HEAD_LENGTH_NAPE, MUZZLE
from sizing.dogs import Dog, Field, HeadType
from sizing.profile import HEAVIEST, LIGHTEST
from tests.sizing.outside import sources
from tests.sizing.outside.check import Check, Source, Within

FACE, NECK, NAPE = Field.FACE_GIRTH, Field.NECK_GIRTH, Field.NAPE_LENGTH
MEDIUM, MASTIFF = HeadType.MEDIUM, HeadType.MASTIFF


def usual(dog: Dog, field: Field) -> float:
    """The usual length in cm of such a dog."""
    return exp(picture(subject_of(dog), [field]).mean[0]) / 10


def of(kg: float, head: HeadType | None, field: Field) -> float:
    """The usual length in cm of a dog of this weight and head, its breed not told."""
    return usual(Dog(weight_kg=kg, head=head), field)


def _spread(field: Field) -> float:
    """How far dogs of one weight and head differ: the sd of the log, tape and all."""
    shape = picture(subject_of(Dog(weight_kg=30, head=MEDIUM)), [field])
    growth = EXPONENTS[field].value ** 2 * shape.size.variance
    return sqrt(shape.covariance[0][0] - growth)


def _head(kg: float) -> float:
    """The head length in cm that the usual nape is reckoned from."""
    return of(kg, MEDIUM, NAPE) / HEAD_LENGTH_NAPE.value


def _size(name: str) -> tuple[float, float]:
    """The middle weight of a breed's dogs and its sd in logs, as the doctor takes them."""
    size = size_of(None, find(name))
    return exp(size.mean), sqrt(size.variance)


def _ends(name: str) -> tuple[float, float]:
    """The weights that 99 in 100 dogs of a breed lie between, as the doctor takes them."""
    middle, sd = _size(name)
    return middle * exp(-2.5 * sd), middle * exp(2.5 * sd)


BREED = Within(share=0.10, why="within a breed dogs differ by 6 to 11 %")
AKBASH = "The lowest of five published skulls; our middle is that of all medium heads."
LEAD = (
    "From memory, and the only sighthound. If true, our long heads have too thick a neck by one"
    " spread: a sighthound's true neck may be queried, never refused."
)
FRENCH = (
    "How far pugs overshoot their standard is taken for every breed, and French bulldogs do so by"
    " less: ours is too wide, so a slip is seen less well where no weight is told."
)
BULL = (
    "The standard gives one weight for bitches and one for dogs, pugs' overshoot does the rest:"
    " too heavy upwards, and the lightest of them lies below ours and would be asked about."
)
PUG = "test_checks.py::test_a_real_pugs_weight_is_not_queried"
HEADS = "test_checks.py::test_the_few_published_heads_lie_in_their_span"


def girth(
    key: str, what: str, source: Source, there: float | tuple[float, float], kg: float,
    head: HeadType | None, field: Field, **more: object,
) -> Check:  # fmt: skip
    """A published girth beside the usual one of a dog of that weight and head."""
    return Check(
        key,
        f"{what}, {kg:g} kg",
        source,
        there,
        lambda: of(kg, head, field),
        "cm",
        BREED,
        **more,  # type: ignore[arg-type] # the row's own words
    )


CHECKS = (
    girth("skull-kangal", "Skull girth of Kangals of a year, mean of 33", sources.TEPELI, 48.43,
          40.89, MEDIUM, FACE, taken=True, also=HEADS),
    girth("skull-akbash", "Skull girth of Akbash of a year, mean of 30", sources.TEPELI, 44.72,
          37.66, MEDIUM, FACE, taken=True, differs=AKBASH, also=HEADS),
    girth("skull-pup", "Skull girth of Kangal pups of 52 days", sources.ELMAZ, 24.61, 3.871,
          MEDIUM, FACE, taken=True),
    girth("skull-chesapeake", "Skull girth at the ears, Chesapeake, breed not told",
          sources.FCI_263, (50.8, 53.3), 30.6, MEDIUM, FACE, taken=True, also=HEADS),
    Check("skull-chesapeake-told", "The same, breed told, 30.2 kg", sources.FCI_263,
          (50.8, 53.3), lambda: usual(Dog("Chesapeake Bay Retriever", 30.2), FACE), "cm",
          taken=True),
    girth("skull-ca-de-bou", "Skull girth of the standard's own dog, Perro Dogo Mallorquin",
          sources.FCI_249, 59.5, 36, MASTIFF, FACE, taken=True, also=HEADS),
    girth("skull-dogue", "Skull girth of Dogues de Bordeaux of 1895", sources.DOGUE, 64.8, 54.4,
          MASTIFF, FACE),
    girth("skull-bulldog", "Skull girth of old Bulldogs, at least their height",
          sources.LEIGHTON, (40.6, inf), 20.4, HeadType.SHORT, FACE),
    girth("neck-giant", "Neck girth of a giant dog, breed not named", sources.GIANT, 63.0, 90,
          None, NECK),
    girth("neck-lagotto", "Neck girth of a Lagotto, at most", sources.FCI_298, (-inf, 36.0),
          14.5, MEDIUM, NECK, taken=True),
    Check("neck-base", "Neck girth close to the shoulder, Chesapeake, 30.6 kg", sources.FCI_263,
          (50.8, 55.9), lambda: of(30.6, MEDIUM, NECK) * BASE_OF_NECK.value, "cm", BREED,
          taken=True, also="doctor/test_model.py::"
          "test_a_neck_girth_close_to_the_shoulder_is_not_taken_for_a_collars_place"),
    girth("neck-greyhound", "Neck girth of a greyhound", sources.GREYHOUND, 13.75 * 2.54,
          24.5, HeadType.LONG, NECK, differs=LEAD),
    girth("skull-greyhound", "Its head girth between eyes and ears", sources.GREYHOUND,
          14.75 * 2.54, 24.5, HeadType.LONG, FACE),
    Check("neck-skull", "Neck by skull, medium head, 30 kg", sources.FCI_NECKS, (0.93, 1.10),
          lambda: of(30, MEDIUM, NECK) / of(30, MEDIUM, FACE), "", taken=True),
    Check("neck-skull-mastiff", "Neck by skull, mastiff head, 60 kg", sources.FCI_NECKS,
          (0.93, 1.10), lambda: of(60, MASTIFF, NECK) / of(60, MASTIFF, FACE), "", taken=True),
    Check("muzzle", "Muzzle girth by skull girth", sources.FCI_MUZZLES,
          lambda: float(np.mean([0.50, 0.566, 0.595, 0.60, 0.667])), lambda: MUZZLE.value, "",
          Within(share=0.05, why="five breeds"), taken=True),
    Check("growth-neck", "Power of the weight that a neck girth follows", sources.CASINOS,
          1 / 3, lambda: EXPONENTS[NECK].value, "", taken=True,
          also="doctor/test_model.py::"
          "test_lengths_grow_with_weight_and_small_dogs_have_relatively_big_heads"),
    Check("growth-face", "Power of the weight that a head girth follows: pups to yearlings",
          sources.KANGAL_GROWTH, log(48.43 / 24.61) / log(40.89 / 3.871),
          lambda: EXPONENTS[FACE].value, "", Within(0.03, why="half way to one third"),
          taken=True),
    Check("head-length", "Head length behind the usual nape, by W^(1/3), 30 kg",
          sources.FCI_HEADS, (7.6, 9.0), lambda: _head(30) / 30 ** (1 / 3), "cm", taken=True),
    Check("head-tazi", "Head length behind it, Tazi, 18.4 kg", sources.TAZI, 23.7,
          lambda: _head(18.4), "cm", BREED, taken=True),
    Check("head-kangal", "Head length behind it, Kangal in Europe, 50.5 kg", sources.YILMAZ,
          29.4, lambda: _head(50.5), "cm", BREED, taken=True),
    Check("spread-face", "How far face girths of one weight and head differ", sources.UROSEVIC,
          (0.061, 0.139), lambda: _spread(FACE), "log", taken=True),
    Check("spread-neck", "How far neck girths do", sources.UROSEVIC, (0.061, 0.139),
          lambda: _spread(NECK), "log", taken=True),
    Check("pug-lightest", "Lightest of 100 pugs, by the standard's lower limit", sources.PUGS,
          4.6 / 6.3, lambda: LIGHTEST.value, "", Within(0.005), taken=True, also=PUG),
    Check("pug-heaviest", "Heaviest of them, by the upper limit", sources.PUGS, 14.4 / 8.1,
          lambda: HEAVIEST.value, "", Within(0.005), taken=True, also=PUG),
    Check("pug-median", "Median weight of pugs", sources.PUGS, 8.4, lambda: _size("Pug")[0],
          "kg", BREED, taken=True),
    Check("french-median", "Median weight of French bulldogs", sources.PUGS, 11.5,
          lambda: _size("French Bulldog")[0], "kg", BREED),
    Check("french-ends", "French bulldogs: lightest and heaviest of 100; ours hold 99 in 100",
          sources.PUGS, (8.0, 17.0),
          lambda: _ends("French Bulldog"), "kg", Within(share=0.10), differs=FRENCH),
    Check("bulldog-median", "Median weight of bulldogs", sources.PUGS, 24.9,
          lambda: _size("Bulldog")[0], "kg", BREED),
    Check("bulldog-ends", "Bulldogs: lightest and heaviest of 66; ours hold 99 in 100",
          sources.PUGS, (15.0, 32.0),
          lambda: _ends("Bulldog"), "kg", Within(share=0.10), differs=BULL),
)  # fmt: skip
