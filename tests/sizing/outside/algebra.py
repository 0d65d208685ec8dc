"""The doctor's little linear algebra, against numpy and scipy."""

from collections.abc import Iterator
from itertools import chain, combinations

import numpy as np
from scipy.stats import multivariate_normal

from sizing.doctor import picture, subject_of
from sizing.doctor.normal import cholesky, dot, inverse, log_density, log_determinant, times
from sizing.dogs import Dog, Field
from tests.sizing.outside import sources
from tests.sizing.outside.check import Check

Matrix = list[list[float]]


def _matrices() -> Iterator[tuple[Matrix, list[float]]]:
    """Two hundred covariances of one to four lengths, each with a point."""
    rng = np.random.default_rng(20270402)
    for turn in range(200):
        size = turn % 4 + 1
        parts = rng.uniform(-0.5, 0.5, (size, size))
        matrix = parts @ parts.T + 0.02 * np.eye(size)
        yield matrix.tolist(), rng.uniform(-1, 1, size).tolist()


def _inverse_off() -> float:
    return max(
        float(np.abs(np.array(inverse(cholesky(matrix))) @ np.array(matrix)
                     - np.eye(len(matrix))).max())
        for matrix, _ in _matrices()
    )  # fmt: skip


def _determinant_off() -> float:
    return max(
        abs(log_determinant(cholesky(matrix)) - float(np.linalg.slogdet(np.array(matrix))[1]))
        for matrix, _ in _matrices()
    )


def _density_off() -> float:
    worst = 0.0
    for matrix, point in _matrices():
        lower = cholesky(matrix)
        squared = dot(point, times(inverse(lower), point))
        ours = log_density(len(point), log_determinant(lower), squared)
        theirs = float(multivariate_normal(cov=np.array(matrix)).logpdf(point))
        worst = max(worst, abs(ours - theirs) / max(1.0, abs(theirs)))
    return worst


def _marginal_off() -> float:
    """The farthest that the picture of some lengths is from the marginal of all four."""
    dog = subject_of(Dog("Beagle", 12))
    whole = picture(dog, Field)
    worst = 0.0
    for fields in chain.from_iterable(combinations(Field, size) for size in range(1, 5)):
        part = picture(dog, fields)
        places = [whole.fields.index(field) for field in part.fields]
        theirs = multivariate_normal(
            np.array(whole.mean)[places], np.array(whole.covariance)[np.ix_(places, places)]
        ).logpdf(np.array(part.mean) + 0.1)
        off = [0.1] * len(places)
        ours = log_density(len(places), part.log_det, dot(off, times(part.precision, off)))
        worst = max(worst, abs(ours - float(theirs)))
    return worst


CHECKS = (
    Check("inverse", "200 covariance matrices times our inverse, less the unit matrix",
          sources.NUMPY, 0.0, _inverse_off, "an entry",
          also="doctor/test_normal.py::test_the_triangle_times_itself_is_the_matrix"),
    Check("determinant", "Their log determinants: the farthest off", sources.NUMPY, 0.0,
          _determinant_off, "log",
          also="doctor/test_normal.py::test_the_triangle_times_itself_is_the_matrix"),
    Check("density", "Normal log densities at 200 points: the farthest off", sources.SCIPY, 0.0,
          _density_off, "of the value", also="doctor/test_normal.py::test_the_density_is_scipys"),
    Check("marginal", "Densities of any of a Beagle's four lengths: the farthest off the"
          " marginal of all", sources.SCIPY, 0.0, _marginal_off, "log",
          also="doctor/test_model.py::"
          "test_the_density_of_a_subset_is_the_marginal_of_the_whole"),
)  # fmt: skip
