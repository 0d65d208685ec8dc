"""Putting a copy back: refused where it would write over something, unless that is kept."""

from dataclasses import dataclass
from datetime import datetime
from pathlib import Path
from tempfile import TemporaryDirectory
from typing import Final

from service.keeping import embedded, server
from service.keeping.archive import Manifest, read_manifest, unpack
from service.keeping.backup import file_of, kind_of
from service.keeping.counting import is_empty
from service.keeping.faults import DamagedError, KeepingError, NotEmptyError
from service.keeping.revisions import refuse_newer

NOT_BACK: Final = ("sign_in", "sign_in_code")
"""Tables that come back empty: whoever was signed out since must not be in again."""


@dataclass(frozen=True, slots=True)
class Restored:
    """What was put back, and where the old database is now; nothing if there was none."""

    manifest: Manifest
    old: str


def _holds_something(place: Path) -> bool:
    if not place.exists():
        return False
    try:
        return not is_empty(embedded.counts_of(place))
    except DamagedError:
        return True


def _refuse_full(what: str) -> None:
    message = (
        f"{what} is not empty. Nothing was changed. With --over the copy takes its place, and"
        " the old one is kept beside it."
    )
    raise NotEmptyError(message)


def _restore_file(copy: Path, manifest: Manifest, place: Path, stamp: str, *, over: bool) -> str:
    full = _holds_something(place)
    if full and not over:
        _refuse_full(f"The database {place}")
    try:
        place.parent.mkdir(parents=True, exist_ok=True)
        with TemporaryDirectory(dir=place.parent, prefix=".restore-") as folder:
            new = Path(folder) / place.name
            unpack(copy, manifest, new)
            embedded.compare(manifest.tables, embedded.counts_of(new))
            embedded.clear(new, NOT_BACK)
            aside = place.with_name(f"{place.stem}-before-{stamp}{place.suffix}")
            kept = embedded.put_back(new, place, aside)
    except OSError as error:
        reason = error.strerror or str(error)
        message = f"{place} cannot be written: {reason}. Nothing was changed."
        raise KeepingError(message) from error
    return str(kept) if kept else ""


def _restore_server(copy: Path, manifest: Manifest, url: str, stamp: str, *, over: bool) -> str:
    if server.others_connected(url):
        raise KeepingError("The database is in use. Stop Hoodwright, then restore.")
    counts = server.counts_at(url)
    full = not is_empty(counts)
    if full and not over:
        _refuse_full("The database that HOODWRIGHT_DATABASE_URL names")
    aside = server.ASIDE + stamp.replace("-", "_")
    with TemporaryDirectory(prefix="hoodwright-") as folder:
        content = Path(folder) / "database"
        unpack(copy, manifest, content)
        schema = server.put_aside(url, aside)
        try:
            server.load(url, content)
            embedded.compare(manifest.tables, server.counts_at(url))
            server.clear(url, NOT_BACK)
        except KeepingError:
            server.take_back(url, aside, schema)
            raise
    if not full:
        server.drop(url, aside)
    return f"the schema {aside} of the same database" if full else ""


def restore(copy: Path, url: str, now: datetime, *, over: bool = False) -> Restored:
    """Put a copy into the place of a database that is not in use; everybody signs in anew.

    Raises:
        NotEmptyError: if there is something in it, and `over` is not given.
        DamagedError: if the copy does not hold what it should.
        NewerError: if it was made by a newer version.
        KeepingError: if the database is in use or of the other kind.
    """
    manifest = read_manifest(copy)
    refuse_newer(f"{copy}", manifest.schema_at)
    if manifest.kind != kind_of(url):
        names = {"sqlite": "the embedded database", "postgresql": "a database server"}
        message = (
            f"{copy} is a copy of {names[manifest.kind]}, and this shop is kept in"
            f" {names[kind_of(url)]}. Set or clear HOODWRIGHT_DATABASE_URL."
        )
        raise KeepingError(message)
    stamp = f"{now:%Y%m%d-%H%M%S}"
    if manifest.kind == "sqlite":
        old = _restore_file(copy, manifest, file_of(url), stamp, over=over)
    else:
        old = _restore_server(copy, manifest, url, stamp, over=over)
    return Restored(manifest, old)
