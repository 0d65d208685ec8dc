"""The little linear algebra, checked against numpy and scipy."""

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st
from scipy.stats import multivariate_normal

from sizing.doctor.normal import cholesky, dot, inverse, log_density, log_determinant, times
from tests.sizing.strategies import reals


@st.composite
def covariances(draw: st.DrawFn) -> list[list[float]]:
    size = draw(st.integers(1, 4))
    parts = np.array([[draw(reals(-0.5, 0.5)) for _ in range(size)] for _ in range(size)])
    matrix = parts @ parts.T + 0.01 * np.eye(size)
    return [[float(one) for one in row] for row in matrix]


@given(covariances())
def test_the_triangle_times_itself_is_the_matrix(matrix: list[list[float]]) -> None:
    lower = cholesky(matrix)
    full = np.array([row + [0.0] * (len(matrix) - len(row)) for row in lower])

    assert np.allclose(full @ full.T, matrix)
    assert np.allclose(inverse(lower), np.linalg.inv(np.array(matrix)), rtol=1e-6)
    assert log_determinant(lower) == pytest.approx(np.linalg.slogdet(np.array(matrix))[1])


@given(covariances(), st.data())
def test_the_density_is_scipys(matrix: list[list[float]], data: st.DataObject) -> None:
    off = [data.draw(reals(-2, 2)) for _ in matrix]
    lower = cholesky(matrix)
    squared = dot(off, times(inverse(lower), off))

    ours = log_density(len(matrix), log_determinant(lower), squared)

    assert ours == pytest.approx(multivariate_normal(cov=matrix).logpdf(off), rel=1e-6, abs=1e-6)


def test_a_matrix_that_is_no_covariance_is_refused() -> None:
    with pytest.raises(ValueError, match="not positive definite"):
        cholesky([[1.0, 2.0], [2.0, 1.0]])


def test_vectors_of_unequal_length_are_never_cut_to_fit() -> None:
    with pytest.raises(ValueError, match="zip"):
        dot([1.0], [1.0, 2.0])
    with pytest.raises(ValueError, match="zip"):
        times([[1.0, 2.0]], [1.0])
