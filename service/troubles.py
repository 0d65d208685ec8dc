"""What befalls a database from outside, told in words: from a driver's error to one of ours.

None of it is a fault of the order or of the program. Each sentence says what to do; all of it
goes on by itself once the cause is gone.
"""

from typing import Final

from sqlalchemy.exc import DBAPIError, SQLAlchemyError
from sqlalchemy.exc import TimeoutError as PoolTimeoutError

from service.errors import ServiceError

NOTHING_KEPT: Final = "Nothing was changed."
UNSURE: Final = "It is not sure whether this was kept: look before you send it again."


class TroubleError(ServiceError):
    """The database cannot be worked on just now; the message says what to do.

    Attributes:
        said: what happened and what to do, without what became of the change.
        unsure: whether a change may have been kept in spite of the error.
        seconds: after how long it is worth to ask again.
    """

    code = "trouble"
    said = ""
    seconds = 30

    def __init__(self, said: str = "", *, unsure: bool = False) -> None:
        """Say what happened, in other words than the usual ones if any are given."""
        self.said = said or self.said
        self.unsure = unsure
        super().__init__(f"{self.said} {UNSURE if unsure else NOTHING_KEPT}")


class DiskFullError(TroubleError):
    """There is no room for what is to be kept."""

    code = "disk-full"
    said = (
        "The disk is full, so nothing more can be kept. Free some room on the disk that holds the"
        " database: empty the bin, or move pictures and old copies to another disk. Then send it"
        " again; Hoodwright need not be started anew."
    )


class DiskFailsError(TroubleError):
    """The disk refuses to be read or written."""

    code = "disk-fails"
    said = (
        "The disk that holds the database does not take what is written. Look whether it is"
        " plugged in and has room (a limit of its own may be reached), then send it again."
    )


class ReadOnlyError(TroubleError):
    """The database may be read and not written."""

    code = "read-only"
    said = (
        "The database can be read and not written. Give Hoodwright the right to write to the"
        " folder of the database and all files in it (or end the server's read-only mode), then"
        " send it again."
    )


class GoneError(TroubleError):
    """The database is not where it was, or does not answer."""

    code = "database-gone"
    said = (
        "The database does not answer. Look whether its file is in its place, or whether the"
        " database server runs and can be reached, then send it again."
    )


class BusyError(TroubleError):
    """Others hold the database for longer than we wait."""

    code = "busy"
    seconds = 5
    said = (
        "Another program holds the database. Wait a few seconds, then send it again. If it stays"
        " so, close what else has the database open."
    )


class SpoiltError(TroubleError):
    """The database does not hold what it held."""

    code = "database-damaged"
    seconds = 300
    said = (
        "The database is damaged, or is not Hoodwright's. Stop Hoodwright and restore the latest"
        " copy: hoodwright restore FILE --over; what is there now is kept beside it."
    )


# SQLite's primary result codes: https://www.sqlite.org/rescode.html
_SQLITE: Final[dict[int, type[TroubleError]]] = {
    5: BusyError, 6: BusyError,
    8: ReadOnlyError,
    10: DiskFailsError,
    11: SpoiltError, 26: SpoiltError,
    13: DiskFullError,
    14: GoneError,
    15: BusyError,  # SQLITE_PROTOCOL: the locks of the log could not be had
}  # fmt: skip
_NO_TABLE: Final = ("no such table", "no such column")

# SQLSTATE, PostgreSQL's appendix A: whole codes first, then classes.
_STATES: Final[dict[str, type[TroubleError]]] = {
    "53100": DiskFullError,
    "25006": ReadOnlyError,
    "55P03": BusyError, "40001": BusyError, "40P01": BusyError, "53300": BusyError,
    "57014": BusyError,
    "53200": BusyError,
    "57P01": GoneError, "57P02": GoneError, "57P03": GoneError, "57P05": GoneError,
    "3D000": GoneError, "25P03": GoneError,
    "42P01": SpoiltError, "42703": SpoiltError, "3F000": SpoiltError,
}  # fmt: skip
_CLASSES: Final[dict[str, type[TroubleError]]] = {
    "08": GoneError,
    "28": GoneError,
    "58": DiskFailsError,
    "XX": SpoiltError,
}
_SURE: Final = (DiskFullError, ReadOnlyError, BusyError)
"""After these a COMMIT has certainly kept nothing."""


def _embedded_kind(code: int, text: str) -> type[TroubleError] | None:
    if code == 1 and text.startswith(_NO_TABLE):
        return SpoiltError
    return _SQLITE.get(code & 0xFF)


def _server_kind(error: DBAPIError, state: str | None) -> type[TroubleError] | None:
    if state:
        return _STATES.get(state) or _CLASSES.get(state[:2])
    # Without a state it did not come from the server: the way to it is broken.
    lost = error.connection_invalidated or type(error).__name__ == "OperationalError"
    return GoneError if lost else None


def trouble_of(error: SQLAlchemyError, *, committing: bool = False) -> TroubleError | None:
    """Return what a driver's error is to the maker, or None if it is a fault of ours.

    Args:
        error: as SQLAlchemy raised it.
        committing: whether it came while a change was being kept.
    """
    if isinstance(error, PoolTimeoutError):
        return BusyError()
    if not isinstance(error, DBAPIError):
        return None
    code = getattr(error.orig, "sqlite_errorcode", None)
    if code is not None:
        kind = _embedded_kind(code, str(error.orig))
    else:
        kind = _server_kind(error, getattr(error.orig, "sqlstate", None))
    if kind is None:
        return None
    return kind(unsure=committing and kind not in _SURE)
