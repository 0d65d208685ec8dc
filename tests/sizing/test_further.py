"""The two lengths beside the four: a crown and a head girth that cannot be, found.

No crown and no widest head of dogs is published (references say so), so what is checked is what
the model claims of itself, and what a slip of the tape must lead to.
"""

from collections.abc import Callable
from dataclasses import replace
from math import exp, log, sqrt
from random import Random
from statistics import NormalDist

import pytest
from hypothesis import given
from hypothesis import strategies as st

from sizing.checks import NAMES, check
from sizing.doctor import spreads
from sizing.doctor.findings import Finding, Kind, Severity
from sizing.doctor.slips import PRIORS
from sizing.dogs import MORE, Field
from sizing.errors import StoppedError
from sizing.further import CROWN, CROWN_OF_FACE, CROWN_OWN, HEAD, HEAD_OWN, Doubt, further_doubts
from sizing.plan import make_plan
from sizing.units import LengthUnit
from sizing.wearing import HEAD_OF_FACE
from tests.sizing.builders import INCH, request, spaniel

FACE = 381.0
DRAWN = 4000
SHARES = {CROWN: (CROWN_OF_FACE, CROWN_OWN), HEAD: (HEAD_OF_FACE, HEAD_OWN)}
RANK = [None, Severity.QUERY, Severity.STOP]


def doubt(
    name: str, mm: float, unit: LengthUnit = LengthUnit.CM, face: float = FACE
) -> Doubt | None:
    found = further_doubts({name: mm}, {Field.FACE_GIRTH: face}, unit, name="Pipkin")
    return found[0] if found else None


def drawn(name: str, chance: Random) -> tuple[float, float]:
    """Draw a dog: the face girth as taped, and the other length as taped, both in mm."""
    face = exp(chance.uniform(5.0, 6.4))
    share, own = SHARES[name]
    true = face * share.value * exp(chance.gauss(0, own.value))

    def taped(mm: float) -> float:
        own = sqrt(spreads.TAPE_SHARE.value**2 + (spreads.TAPE_PLACE.value / mm) ** 2)
        return mm * exp(chance.gauss(0, own))

    return round(taped(face) / 5) * 5.0, round(taped(true) / 5) * 5.0


@pytest.mark.parametrize("name", MORE)
def test_true_dogs_are_hardly_asked_after(name: str) -> None:
    chance = Random(20)  # noqa: S311 - dogs are no secret
    asked = 0
    for _ in range(DRAWN):
        face, mm = drawn(name, chance)
        found = doubt(name, mm, face=face)
        asked += found is not None
        assert found is None or found.finding.severity is Severity.QUERY
    assert asked / DRAWN < 0.01  # the normal distribution has 0.27 percent beyond 3 spreads


SLIPS: dict[Kind, Callable[[float], float]] = {
    Kind.INCHES: lambda mm: round(mm / INCH * 4) / 4 * 10,  # read to the quarter inch
    Kind.CENTIMETRES: lambda mm: mm / 10 * INCH,
    Kind.TEN_TIMES_LESS: lambda mm: mm / 10,
    Kind.TEN_TIMES_MORE: lambda mm: mm * 10,
}


MEANT: dict[Kind, Callable[[float], float]] = {
    Kind.INCHES: lambda mm: mm * 2.54,
    Kind.CENTIMETRES: lambda mm: mm / 2.54,
    Kind.TEN_TIMES_LESS: lambda mm: mm * 10,
    Kind.TEN_TIMES_MORE: lambda mm: mm / 10,
}


@pytest.mark.parametrize("kind", SLIPS)
@pytest.mark.parametrize("name", MORE)
def test_a_slip_is_found_and_named(name: str, kind: Kind) -> None:
    chance = Random(21)  # noqa: S311 - as above
    flagged = named = counted = 0
    while counted < 500:
        face, mm = drawn(name, chance)
        written = SLIPS[kind](mm)
        if written < 10:
            continue
        counted += 1
        found = doubt(name, written, face=face)
        flagged += found is not None
        named += found is not None and found.kind is kind
    assert flagged / counted >= 0.95
    assert named / counted >= 0.85  # inches and a flat half are 0.39 and 0.5: neighbours


def test_a_head_girth_taken_flat_is_found() -> None:
    found = doubt(HEAD, 200)
    assert found
    assert found.kind is Kind.HALF
    assert found.finding.suggestion == "40.0 cm"


def test_the_finding_says_what_was_probably_meant() -> None:
    found = doubt(HEAD, 157.5)
    assert found
    assert found.finding.message == (
        "15.75 cm is small for the head girth beside a face girth of 38.1 cm. About 40 cm would be"
        " usual, 33 to 48 cm for most. 15.75 looks like inches: 40.0 cm? That is almost"
        " certain (99 %)."
    )
    assert found.ask_owner == (
        "Could you measure Pipkin's head again, please, all the way round, where it is widest?"
        " About 40 cm would be usual for the head girth, and I have 15.75 cm; perhaps it was read"
        " in inches."
    )


def test_how_sure_is_bayes_rule() -> None:
    """A head of 20 cm beside a face of 38.1: reckoned anew with the library's normal curve."""
    usual = FACE * HEAD_OF_FACE.value
    taped = sum(0.04**2 + (5 / mm) ** 2 for mm in (FACE, usual))
    curve = NormalDist(log(usual), sqrt(HEAD_OWN.value**2 + taped))
    meant = {kind: undo(200) for kind, undo in MEANT.items()} | {Kind.HALF: 400.0}
    # 20 is on the inch tape's halves, 7.87 in on no mark of it: how a number ends counts.
    ends = {Kind.INCHES: 0.6, Kind.CENTIMETRES: 0.1}
    weights = {
        kind: PRIORS[kind].value * curve.pdf(log(mm)) * ends.get(kind, 1.0)
        for kind, mm in meant.items()
    }
    weights[Kind.UNKNOWN] = PRIORS[Kind.UNKNOWN].value / log(3000 / 10)
    weights[Kind.TRUE] = (1 - sum(PRIORS[kind].value for kind in weights)) * curve.pdf(log(200))
    share = weights[Kind.HALF] / sum(weights.values())
    found = doubt(HEAD, 200)
    assert found
    assert (
        f"taken flat: 40.0 cm? That is very likely ({share * 100:.0f} %)" in found.finding.message
    )
    other = weights[Kind.INCHES] / sum(weights.values())
    assert other / share < 0.25
    assert "Or else" not in found.finding.message


def test_a_second_explanation_that_is_near_is_told_too() -> None:
    found = doubt(HEAD, 175)
    assert found
    assert found.kind is Kind.HALF
    assert found.finding.message.endswith(
        "It may be half the girth, taken flat: 35.0 cm? That is likely (53 %). Or else (44 %):"
        " 17.5 looks like inches: 44.45 cm?"
    )


def test_too_large_is_said_too() -> None:
    found = doubt(CROWN, 600)
    assert found
    assert found.finding.message.startswith(
        "60.0 cm is large for the crown length beside a face girth of 38.1 cm. About 18 cm would"
        " be usual, "
    )


def test_only_what_is_said_of_the_face_girth_matters_here() -> None:
    def odd(field: str, meant: float | None) -> Finding:
        return Finding(field, Severity.QUERY, "", None, None, meant, None, "")

    lengths = {Field.FACE_GIRTH: FACE}
    beside = (odd("neck_girth", 570.0), odd("face_girth", None))
    assert further_doubts({HEAD: 600}, lengths, LengthUnit.CM, beside)
    meant = (*beside, odd("face_girth", 570.0))
    assert further_doubts({HEAD: 600}, lengths, LengthUnit.CM, meant) == ()


@pytest.mark.parametrize(("name", "mm"), [(CROWN, 600.0), (CROWN, 60.0), (HEAD, 150.0)])
def test_what_cannot_be_stops_the_plan_until_it_is_accepted(name: str, mm: float) -> None:
    asked = request(replace(spaniel(), **{name: mm}))
    with pytest.raises(StoppedError) as stopped:
        make_plan(asked)
    assert stopped.value.fields == (name,)
    accepted = make_plan(replace(asked, accepted=frozenset({name})))
    assert [one.field for one in accepted.findings] == [name]


def test_a_crown_that_the_shape_gives_by_itself_is_never_doubted() -> None:
    plan = make_plan(request())
    asked = request(replace(spaniel(), crown_length=plan.finished.crown))
    assert make_plan(asked).findings == ()


def test_without_a_face_girth_nothing_is_said() -> None:
    assert further_doubts({CROWN: 600, HEAD: 100}, {Field.NECK_GIRTH: 355}, LengthUnit.CM) == ()


def test_a_face_girth_that_is_wrong_itself_blames_neither() -> None:
    """The face is 15 in, written as 15 cm; head and crown go with the face that was meant."""
    given = replace(spaniel(), face_girth=150.0, head_girth=400.0, crown_length=180.0)
    found: tuple[Finding, ...] = check(request().dog, given, LengthUnit.CM)
    blamed = {one.field for one in found if one.severity is not Severity.NOTE}
    assert "face_girth" in blamed
    assert not blamed & set(MORE)


@given(
    name=st.sampled_from(MORE),
    face=st.floats(100, 900),
    nearer=st.floats(0, 2.5),
    further=st.floats(0, 1.0),
    up=st.booleans(),
)
def test_further_off_is_never_taken_more_lightly(
    *, name: str, face: float, nearer: float, further: float, up: bool
) -> None:
    sign = 1 if up else -1
    middle = face * SHARES[name][0].value
    ranks = []
    for off in (nearer, nearer + further):
        found = doubt(name, middle * exp(sign * off), face=face)
        ranks.append(RANK.index(found.finding.severity if found else None))
    assert ranks[0] <= ranks[1]


@given(name=st.sampled_from(MORE), mm=st.floats(20, 2000), face=st.floats(100, 900))
def test_what_is_asked_does_not_hang_on_the_unit(name: str, mm: float, face: float) -> None:
    found = [doubt(name, mm, unit, face) for unit in LengthUnit]
    assert len({one.finding.severity if one else None for one in found}) == 1


def test_every_measurement_has_its_name() -> None:
    assert set(NAMES) == {*(field.value for field in Field), *MORE}
