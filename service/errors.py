"""What can go wrong in a use case.

No HTTP here: each class has a stable code, and `service.web.problems` holds the one table
that turns a class into a status.
"""

from typing import Final

NO_VERSION: Final = "Say which version you change: send its ETag in If-Match."


class ServiceError(Exception):
    """The root; its message is a sentence that says what to do.

    Attributes:
        code: a stable word for programs.
        fields: what is wrong field by field, where that is known.
    """

    code = "service"

    def __init__(self, message: str, fields: dict[str, str] | None = None) -> None:
        """Keep the sentence and the fields."""
        self.fields = fields or {}
        super().__init__(message)


class NotFoundError(ServiceError):
    """Nothing is kept under that name."""

    code = "not-found"


class NotSignedInError(ServiceError):
    """Nobody has signed in."""

    code = "not-signed-in"


class NotYoursError(ServiceError):
    """The account, or the key, may not do that."""

    code = "not-yours"


class StaleError(ServiceError):
    """Somebody has changed it since it was read."""

    code = "changed-meanwhile"


class MissingVersionError(ServiceError):
    """A change must say which version it was made on."""

    code = "version-missing"


class NotAllowedError(ServiceError):
    """The state of the order does not allow that."""

    code = "not-allowed-now"


class KeyReusedError(ServiceError):
    """An idempotency key came back with another order."""

    code = "key-reused"


class UnreadableError(ServiceError):
    """Fields that cannot be read; all of them at once."""

    code = "unreadable"


class TemplateFaultError(UnreadableError):
    """A template that cannot be filled in; the sentence names the line."""

    code = "template-fault"


class WrongShapeError(UnreadableError):
    """Fields that are missing, unknown or of the wrong kind; all of them at once."""

    code = "wrong-shape"


class TooManyError(ServiceError):
    """Asked too often in a short time.

    Attributes:
        seconds: how long to wait.
    """

    code = "too-many"

    def __init__(self, seconds: int) -> None:
        """Keep how long to wait."""
        self.seconds = seconds
        super().__init__(f"Too often in a short time. Wait {seconds} s, then try again.")


class NoPlanError(ServiceError):
    """There is no plan, because a finding still stops it."""

    code = "no-plan"


def check_version(given: int | None, stands: int, changed: str) -> None:
    """Refuse a change that was not made on the version that stands.

    Args:
        given: the version that was seen, if one was told.
        stands: the version that there is.
        changed: what to say where somebody was first.

    Raises:
        MissingVersionError, StaleError: as their names say.
    """
    if given is None:
        raise MissingVersionError(NO_VERSION)
    if given != stands:
        raise StaleError(changed)
