"""What can go wrong in keeping; each says what to do, and has an exit code of its own."""


class KeepingError(Exception):
    """Something that cannot be done; nothing was changed.

    Attributes:
        code: the exit code of a command that ends by it.
    """

    code = 1


class DamagedError(KeepingError):
    """A database or a copy that does not hold what it should."""

    code = 3


class NotEmptyError(KeepingError):
    """A place that holds something already."""

    code = 4


class NewerError(KeepingError):
    """A database or a copy of a newer version."""

    code = 5


class UntriedError(KeepingError):
    """A copy that was made and could not be tried."""

    code = 6


class WrongFileError(KeepingError):
    """A file with lines or fields that are wrong."""

    code = 7
