"""The breed table beside other kennel bodies and measured dogs, and whom it warns of."""

from functools import cache, partial

from documents.care_words import NEVER, RISKS
from sizing.breeds import BREEDS, Breed, find
from sizing.dogs import Dog, Risk
from sizing.profile import profile_of
from tests.sizing.outside import sources
from tests.sizing.outside.check import Check, Source, Within

HEAT = (
    "Chow Chow", "Bulldog", "French Bulldog", "Dogue de Bordeaux", "Greyhound",
    "Cavalier King Charles Spaniel", "Pug", "English Springer Spaniel", "Golden Retriever",
)  # fmt: skip
EAR_TROUBLE = (
    "Basset Hound", "Shar Pei", "Beagle", "Golden Retriever", "Welsh Springer Spaniel",
    "American Cocker Spaniel", "English Springer Spaniel", "English Cocker Spaniel",
    "Bull Terrier", "Saint Bernard", "French Bulldog",
)  # fmt: skip
SHORT_NOSES = ("Pug", "French Bulldog", "Bulldog", "Boston Terrier")
OTHER = (
    ("American Staffordshire Terrier", (25.9, 30.4), (43, 48)),
    ("Australian Cattle Dog", (15.9, 20.4), (43, 51)),
    ("Border Collie", (13.6, 20.4), (46, 53)),
    ("Bull Terrier", (22.7, 31.8), (53, 56)),
    ("Bulldog", (18.1, 22.7), None),
    ("Cavalier King Charles Spaniel", (5.4, 8.2), (30, 33)),
    ("German Shepherd", (22.0, 40.0), (55, 65)),
)
"""Weight in kg and height in cm, as Teng et al. take them from other books."""
BODIES = (
    "Two kennel bodies' figures of one breed. The doctor lets dogs go from 0.73 of our lower to"
    " 1.78 of our upper limit, which holds both."
)
DIFFER = {
    "weight-american-staffordshire-terrier": BODIES,
    "weight-australian-cattle-dog": BODIES,
    "weight-border-collie": BODIES,
    "weight-bulldog": BODIES,
    "height-border-collie": "Two kennel bodies' figures of one breed. A height moves only what a"
    " standard gives as a share of it, and this breed's gives nothing so.",
}


@cache
def known(name: str) -> Breed:
    breed = find(name)
    assert breed, name
    return breed


def _weight(name: str) -> tuple[float, float]:
    low, high = known(name).weight_kg
    return float(low), float(high)


def _height(name: str) -> tuple[float, float]:
    height = known(name).height_cm
    assert height, name
    return float(height[0]), float(height[1])


def _at_risk(names: tuple[str, ...], risk: Risk) -> float:
    return float(sum(risk in known(name).risks for name in names))


def _told(names: tuple[str, ...], risk: Risk) -> float:
    """How many of these breeds' dogs have the risk's sentence on their care sheet."""
    found = (profile_of(Dog(name)).risks for name in names)
    return float(sum(risk in risks and risk in RISKS for risks in found))


def _heavy(*, warned: bool) -> float:
    """How many breeds may weigh over 50 kg, or how many of them are at risk of heat."""
    heavy = [breed for breed in BREEDS if breed.weight_kg[1] > 50]
    return float(sum(not warned or Risk.HEAT in breed.risks for breed in heavy))


def _key(kind: str, name: str) -> str:
    return f"{kind}-{name.lower().replace(' ', '-')}"


WEIGHT = Within(share=0.05, why="pounds and kilograms, rounded")
HEIGHT = Within(share=0.05, why="inches and centimetres, rounded")
_HEAT = "test_breeds.py::test_a_breed_named_by_hall_carter_and_o_neill_2020_is_at_risk_of_heat"
_EARS = "test_breeds.py::test_a_breed_named_by_the_ear_papers_is_at_risk_of_ear_trouble"


def _nearest(span: tuple[float, float], value: float) -> float:
    """The value within the table's span that is nearest to a measured one."""
    return min(max(value, span[0]), span[1])


def measured(what: str, source: Source, value: float, name: str, differs: str = "") -> Check:
    """A measured weight, or that of an old book, beside the nearest within the table's span."""
    return Check(
        f"measured-{what}-{name}".lower().replace(",", "").replace(" ", "-"),
        f"{name}: weight, {what}; the nearest in our table's span",
        source, value, lambda: _nearest(_weight(name), value), "kg", WEIGHT, differs=differs,
    )  # fmt: skip


def _triggers() -> float:
    """Percent of cases of heat illness whose trigger the care sheet forbids by its word."""
    words = " ".join(NEVER)
    named = {"hard play": 74.2, "heat": 12.9, "warm car": 5.2}
    return sum(percent for word, percent in named.items() if word in words)


TODAY = "The dog of a hundred years ago was another size; the table has today's standard."
HERD = (
    "A working herd's bitches lie below the standard; 0.73 of its lower limit, 29 kg, holds them."
)
POUND = 0.45359237

CHECKS = (
    *(
        Check(
            _key("weight", name), f"{name}: weight in our table", sources.TENG, weight,
            partial(_weight, name), "kg", WEIGHT,
            differs=DIFFER.get(_key("weight", name), ""),
        )
        for name, weight, _ in OTHER
    ),
    *(
        Check(
            _key("height", name), f"{name}: height in our table", sources.TENG, height,
            partial(_height, name), "cm", HEIGHT,
            differs=DIFFER.get(_key("height", name), ""),
        )
        for name, _, height in OTHER
        if height
    ),
    measured("herd, bitches", sources.OZBEYAZ, 32.4, "Kangal Shepherd Dog", HERD),
    measured("herd, males", sources.OZBEYAZ, 40.5, "Kangal Shepherd Dog"),
    measured("in Europe", sources.YILMAZ, 50.5, "Kangal Shepherd Dog"),
    measured("median of 100", sources.PUGS, 8.4, "Pug"),
    measured("about 1910", sources.LEIGHTON, 90 * POUND, "Bloodhound"),
    measured("about 1910", sources.LEIGHTON, 160 * POUND, "Mastiff"),
    measured("about 1910, least", sources.LEIGHTON, 170 * POUND, "Saint Bernard"),
    measured("about 1910, most", sources.LEIGHTON, 210 * POUND, "Saint Bernard", TODAY),
    measured("about 1910", sources.LEIGHTON, 45 * POUND, "Bulldog", TODAY),
    measured("about 1910", sources.LEIGHTON, 18 * POUND, "Skye Terrier",
             "The table's figure is the American Kennel Club's of 2020, twice that weight. A Skye"
             " of 8 kg is queried, and the maker can say that it is right."),
    Check("heat-breeds", "Breeds named for heat illness that our table marks", sources.HALL,
          float(len(HEAT)), lambda: _at_risk(HEAT, Risk.HEAT), f"of {len(HEAT)}", taken=True,
          also=_HEAT),
    Check("heat-sheet", "Of these, whose care sheet then says so", sources.HALL,
          float(len(HEAT)), lambda: _told(HEAT, Risk.HEAT), f"of {len(HEAT)}", taken=True),
    Check("heat-heavy", "Breeds over 50 kg at risk of heat", sources.HALL_50, 1.0,
          lambda: _heavy(warned=True) / _heavy(warned=False), "of them", taken=True,
          also="test_breeds.py::test_a_breed_that_may_weigh_over_50_kg_is_at_risk_of_heat"),
    Check("heat-triggers", "Cases of heat illness whose trigger the care sheet forbids",
          sources.TRIGGERS, 74.2 + 12.9 + 5.2, _triggers, "%", taken=True),
    Check("ear-breeds", "Breeds named for ear trouble that our table marks", sources.EARS,
          float(len(EAR_TROUBLE)), lambda: _at_risk(EAR_TROUBLE, Risk.EAR_TROUBLE),
          f"of {len(EAR_TROUBLE)}", taken=True, also=_EARS),
    Check("short-noses", "Breeds studied for short noses that our table marks",
          sources.SHORT_NOSES, float(len(SHORT_NOSES)),
          lambda: _at_risk(SHORT_NOSES, Risk.SHORT_NOSED), f"of {len(SHORT_NOSES)}", taken=True,
          also="test_breeds.py::test_the_short_nosed_breeds_are_these_and_no_others"),
)  # fmt: skip
