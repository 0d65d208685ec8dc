"""The little linear algebra that the doctor needs, for one to four lengths."""

from collections.abc import Sequence
from math import log, pi
from typing import Final

Vector = Sequence[float]
Matrix = Sequence[Sequence[float]]

LOG_ROOT_TAU: Final = log(2 * pi) / 2


def cholesky(matrix: Matrix) -> list[list[float]]:
    """Return the lower triangle whose product with its transpose is the matrix.

    Raises:
        ValueError: if the matrix is not positive definite.
    """
    lower: list[list[float]] = []
    for i, given in enumerate(matrix):
        row: list[float] = []
        for j in range(i + 1):
            above = lower[j] if j < i else row
            left = given[j] - sum([row[k] * above[k] for k in range(j)])
            if j < i:
                row.append(left / above[j])
            elif left > 0:
                row.append(left**0.5)
            else:
                raise ValueError("The matrix is not positive definite.")
        lower.append(row)
    return lower


def inverse(lower: Matrix) -> tuple[tuple[float, ...], ...]:
    """Return the inverse of the matrix whose lower triangle is given."""
    size = len(lower)
    undone = [[0.0] * size for _ in range(size)]
    for i, row in enumerate(lower):
        undone[i][i] = 1 / row[i]
        for j in range(i):
            undone[i][j] = -sum([row[k] * undone[k][j] for k in range(j, i)]) / row[i]
    whole = [[0.0] * size for _ in range(size)]
    for i in range(size):
        for j in range(i + 1):  # it is symmetric
            both = sum([undone[k][i] * undone[k][j] for k in range(i, size)])
            whole[i][j] = whole[j][i] = both
    return tuple([tuple(row) for row in whole])


def log_determinant(lower: Matrix) -> float:
    """Return the log of the determinant of the matrix whose lower triangle is given."""
    return 2 * sum([log(row[i]) for i, row in enumerate(lower)])


def times(matrix: Matrix, vector: Vector) -> list[float]:
    """Return the matrix times the vector."""
    return [dot(row, vector) for row in matrix]


def dot(left: Vector, right: Vector) -> float:
    """Return the inner product."""
    return sum([a * b for a, b in zip(left, right, strict=True)])


def log_density(size: int, log_det: float, squared: float) -> float:
    """Return a normal log-density from its squared distance, in units of its spread."""
    return -size * LOG_ROOT_TAU - (log_det + squared) / 2
