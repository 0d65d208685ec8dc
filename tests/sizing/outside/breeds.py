"""Figures that were taken into the breed table, beside where they stand."""

from functools import partial

from sizing.breeds import find
from tests.sizing.outside import sources
from tests.sizing.outside.check import Check, Source, Strength, Within

POUND, INCH = 0.45359237, 2.54
"""In kg and in cm."""


def _span(name: str, field: str) -> tuple[float, float]:
    """A figure of the table, from low to high."""
    breed = find(name)
    assert breed, name
    low, high = getattr(breed, field)
    return float(low), float(high)


def carried(source: str, name: str, field: str, there: tuple[float, float], unit: str) -> Check:
    """A figure that was taken into the table."""
    what = field.removesuffix("_cm").removesuffix("_kg").replace("_", " ")
    club = source.startswith("American")
    return Check(
        f"table-{what}-{name}".lower().replace(" ", "-"),
        f"{name}: {what} in our table",
        Source(source, Strength.B, sources.SECOND) if club else Source(source, Strength.A,
                                                                      sources.FULL),
        there,
        partial(_span, name, field),
        unit,
        Within(0.005 if unit == "of the height" else 0.05, why="rounded to the last digit"),
        taken=True,
        also="test_breeds.py::test_a_figure_agrees_with_its_source",
    )  # fmt: skip


CHECKS = (
    carried("FCI-Standard 263, 12.03.1999", "Chesapeake Bay Retriever", "neck_girth_cm",
            (50.8, 55.88), "cm"),
    carried("FCI-Standard 263, 12.03.1999", "Chesapeake Bay Retriever", "head_girth_cm",
            (50.8, 53.34), "cm"),
    carried("FCI-Standard 346", "Presa Canario", "neck_length_cm", (18, 20), "cm"),
    carried("FCI-Standard 343, 13.10.2023", "Cane Corso", "head_length_of_height", (0.36, 0.36),
            "of the height"),
    carried("FCI-Standard 65, 17.12.2015", "Maltese", "head_length_of_height", (6 / 11, 6 / 11),
            "of the height"),
    carried("FCI-Standard 253, 07.09.2023", "Pug", "weight_kg", (6.3, 8.1), "kg"),
    carried("FCI-Standard 157, 11.09.2023", "Bullmastiff", "weight_kg", (41, 59), "kg"),
    carried("FCI-Standard 298, 11.10.2019", "Lagotto Romagnolo", "weight_kg", (11, 16), "kg"),
    carried("American Kennel Club breed figures, 2020: 25 to 40 lb", "Whippet", "weight_kg",
            (25 * POUND, 40 * POUND), "kg"),
    carried("American Kennel Club breed figures, 2020: 55 to 80 lb", "Labrador Retriever",
            "weight_kg", (55 * POUND, 80 * POUND), "kg"),
    carried("American Kennel Club breed figures, 2020: 120 to 230 lb", "Mastiff", "weight_kg",
            (120 * POUND, 230 * POUND), "kg"),
    carried("American Kennel Club breed figures, 2020: 18 to 22 in", "Whippet", "height_cm",
            (18 * INCH, 22 * INCH), "cm"),
)  # fmt: skip
