"""How exact each source is, and that measuring again never makes it less so."""

import pytest
from hypothesis import given
from hypothesis import strategies as st

from sizing.dogs import Coat, Dog, Risk
from sizing.exactness import Source, errors_of, surer_errors
from sizing.stretch import Stretch, StretchTest, by_fibre, stretch_of
from tests.sizing.builders import yarn

DOGS = st.builds(Dog, coat=st.sampled_from(Coat), risks=st.frozensets(st.sampled_from(Risk)))
BY_FIBRE = by_fibre(yarn())
BY_TEST = stretch_of(yarn(), StretchTest(100, 125, 160, 103))


@given(DOGS, st.tuples(st.booleans(), st.booleans()), st.sampled_from([BY_FIBRE, BY_TEST]))
def test_measuring_again_makes_that_surer_and_nothing_else_less_sure(
    dog: Dog, told: tuple[bool, bool], stretch: Stretch
) -> None:
    tested, head = told
    errors = errors_of(dog, dog.risks, stretch, tested=tested, head_measured=head)
    seen = set()
    for source, surer in surer_errors(errors, stretch):
        seen.add(source)
        assert surer.keys() == errors.keys()
        assert surer[source] < errors[source]
        assert all(surer[one] <= errors[one] for one in errors)
    # A class of yarn gets a swatch, and a swatch is counted again; never both.
    assert (Source.SWATCH in seen) is not tested
    assert (Source.RIB_GAUGE in seen) is (Source.PLAIN_GAUGE in seen) is tested
    assert {Source.NECK, Source.NAPE, Source.FACE, Source.STRETCH} <= seen


def test_a_stretch_test_is_as_sure_as_one_that_was_made_at_once() -> None:
    errors = errors_of(Dog(), frozenset(), BY_FIBRE, tested=True)
    surer = dict(surer_errors(errors, BY_FIBRE))[Source.STRETCH]

    assert surer[Source.STRETCH] == BY_TEST.sd


@pytest.mark.parametrize("thick", [Dog(coat=Coat.THICK), Dog(risks=frozenset({Risk.THICK_COAT}))])
def test_a_tape_on_a_thick_coat_errs_more(thick: Dog) -> None:
    # Bascunan et al. 2016: clipping the coat changed a girth by 3.44 cm of 30 to 40.
    plain, coated = (
        errors_of(dog, dog.risks, BY_FIBRE, tested=True) for dog in (Dog(coat=Coat.SMOOTH), thick)
    )

    for source in (Source.NECK, Source.NAPE, Source.FACE, Source.HEAD):
        assert coated[source] > plain[source]
    for source in (Source.RIB_GAUGE, Source.PLAIN_GAUGE, Source.STRETCH, Source.SWATCH):
        assert coated[source] == plain[source]


def test_a_head_that_was_measured_is_as_sure_as_the_tape() -> None:
    measured, reckoned = (
        errors_of(Dog(), frozenset(), BY_FIBRE, tested=True, head_measured=known)
        for known in (True, False)
    )

    assert measured[Source.HEAD] == measured[Source.NECK] < reckoned[Source.HEAD]
