"""Lengths against a reader that shares nothing with ours; a million of them by hand:
`python3 -m tests.benchmarks.lengths`.
"""

from fractions import Fraction

import pytest

from tests.benchmarks.lengths import tried
from tests.sizing.length_oracle import Unclear, length_of


def test_no_length_is_read_as_something_else() -> None:
    found = tried(0, 8000)

    assert found.wrong == []
    assert found.kinds["read"] > 1000
    assert found.slowest[0] < 0.1, found.slowest


def test_the_reader_apart_reads_and_refuses() -> None:
    assert length_of("14\u00bd in", inches=False) == Fraction(3683, 10)
    assert length_of("1' 2 1/2''", inches=False) == Fraction(3683, 10)
    assert length_of("36,8", inches=False) == 368
    for text in ("14 1/2", "1,250 mm", "14 1/3 in", "1 ft 12 in", "36-37 cm", "٣٦ cm", ""):
        with pytest.raises(Unclear):
            length_of(text, inches=False)
