"""Spreading a whole number as evenly as whole numbers allow."""


def shares(total: int, parts: int) -> tuple[int, ...]:
    """Return a total in parts that differ by one at most, the lightest first."""
    return tuple((total * (i + 1)) // parts - (total * i) // parts for i in range(parts))


def middles(count: int, places: int) -> tuple[int, ...]:
    """Return `count` of `places` places from 0, evenly spread, each in the middle of its share."""
    return tuple((2 * i + 1) * places // (2 * count) for i in range(count))
