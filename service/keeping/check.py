"""Whether a database can be trusted: looked at when the service starts, or when asked."""

from sqlalchemy import Engine

from service.keeping.backup import file_of, kind_of
from service.keeping.embedded import faults_in
from service.keeping.faults import DamagedError
from service.keeping.revisions import embedded_revision, refuse_newer, server_revision
from service.keeping.server import refuse_letters


def refuse_damaged(url: str, *, whole: bool = False) -> None:
    """Refuse a database that is damaged or newer than this version; a new one passes.

    Args:
        url: its address.
        whole: whether indexes are compared with their tables too. (A server keeps its own
            promises: there only the revision is looked at.)

    Raises:
        DamagedError, NewerError: saying what to do; nothing was changed.
        KeepingError: if it cannot be opened, or is of a kind that does not keep every letter.
    """
    if kind_of(url) == "postgresql":
        refuse_letters(url)
        refuse_newer("The database that HOODWRIGHT_DATABASE_URL names", server_revision(url))
        return
    path = file_of(url)
    if not path.exists():
        return
    faults = faults_in(path, whole=whole)
    if faults:
        message = (
            f"The database {path} is damaged ({faults[0]}). Nothing was changed. Restore the"
            " latest copy: hoodwright restore FILE --over; the damaged one is kept beside it."
            f" Copies are in {path.parent / 'backups'} unless you made them elsewhere."
        )
        raise DamagedError(message)
    refuse_newer(f"The database {path}", embedded_revision(path))


def url_of(engine: Engine) -> str:
    """Return the address of an engine's database, with its password."""
    return engine.url.render_as_string(hide_password=False)
