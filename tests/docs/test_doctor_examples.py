"""The sentences that README and docs quote are those that are said."""

from pathlib import Path

from sizing.checks import check
from sizing.doctor import diagnose
from sizing.dogs import Dog, Field, Measurements
from sizing.units import LengthUnit

ROOT = Path(__file__).resolve().parents[2]


def text(name: str) -> str:
    """A document in one line, without the marks of its comments."""
    return " ".join((ROOT / name).read_text(encoding="utf-8").replace("\n# ", "\n").split())


def test_the_readme_quotes_what_is_said_of_the_demo_order() -> None:
    (finding,) = check(Dog("Beagle", 10.5), Measurements(80, 145, 110, 370), LengthUnit.CM)

    assert f"“{finding.message}”" in text("README.md")


def test_the_example_of_the_doctor_is_what_it_says() -> None:
    lengths = dict(zip(Field, (80, 142.5, 105, 350), strict=True))
    found = diagnose(Dog("Beagle", 12), lengths, LengthUnit.CM, name="Pipkin")

    assert found.findings[0].message in text("docs/doctor.md")
    assert found.ask_owner
    assert found.ask_owner in text("docs/doctor.md")
