"""Making a copy: one file, tried by reading it back into an empty place."""

from dataclasses import dataclass
from datetime import datetime
from pathlib import Path
from tempfile import TemporaryDirectory

from sqlalchemy import make_url

from service import VERSION
from service.keeping import embedded, server
from service.keeping.archive import Kind, Manifest, appearing, pack, read_manifest, unpack
from service.keeping.counting import Counts
from service.keeping.faults import NotEmptyError, UntriedError
from service.keeping.revisions import embedded_revision, server_revision


@dataclass(frozen=True, slots=True)
class Copied:
    """A copy: where it is, what it holds, its bytes."""

    path: Path
    manifest: Manifest
    size: int


def kind_of(url: str) -> Kind:
    """Return which kind of database an address names."""
    return "sqlite" if url.startswith("sqlite") else "postgresql"


def file_of(url: str) -> Path:
    """Return the file of an embedded database."""
    return Path(make_url(url).database or "")


def _source(url: str, folder: Path) -> tuple[Path, str, Counts]:
    """Write the database to a file; return it, the revision, and what it holds."""
    content = folder / "database"
    if kind_of(url) == "sqlite":
        counts = embedded.copy_out(file_of(url), content)
        return content, embedded_revision(content), counts
    counts = server.dump(url, content)
    return content, server_revision(url), counts


def tried(url: str, copy: Path, folder: Path) -> None:
    """Read a copy back into an empty place and compare it row by row with what it shall hold.

    Args:
        url: of the database; a server's makes an empty one for this.
        copy: the file.
        folder: with room for it.

    Raises:
        DamagedError: if it does not hold it.
        UntriedError: if there is no empty place to be had.
    """
    manifest = read_manifest(copy)
    content = folder / "again"
    unpack(copy, manifest, content)
    if manifest.kind == "sqlite":
        embedded.compare(manifest.tables, embedded.counts_of(content))
        return
    with server.scratch(url) as empty:
        server.load(empty, content)
        embedded.compare(manifest.tables, server.counts_at(empty))


def back_up(url: str, to: Path, now: datetime) -> Copied:
    """Copy a database, which may be in use, to a new file, and try the copy.

    Raises:
        NotEmptyError: if there is a file of that name.
        KeepingError: if it cannot be done; then there is no file.
        UntriedError: if the copy is there, but could not be tried.
    """
    if to.exists():
        raise NotEmptyError(f"{to} is there already. Choose another name; it was left as it is.")
    untried = None
    with appearing(to) as part, TemporaryDirectory(dir=to.parent, prefix=".copy-") as folder:
        content, revision, counts = _source(url, Path(folder))
        manifest = Manifest(
            kind=kind_of(url), version=VERSION, schema_at=revision, made_at=now, tables=counts
        )
        pack(part, content, manifest)
        content.unlink()
        try:
            tried(url, part, Path(folder))
        except UntriedError as error:
            untried = error
    if untried:
        raise untried
    return Copied(to, manifest, to.stat().st_size)
