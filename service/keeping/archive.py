"""A copy as one file: a zip of the database and of the list of its tables."""

import os
import zipfile
import zlib
from collections.abc import Generator
from contextlib import contextmanager, suppress
from datetime import datetime
from pathlib import Path
from shutil import copyfileobj
from typing import Final, Literal

from pydantic import BaseModel, ValidationError

from service.keeping.counting import Counts
from service.keeping.faults import DamagedError, KeepingError

LIST: Final = "copy.json"
CONTENT: Final = {"sqlite": "hoodwright.sqlite", "postgresql": "hoodwright.dump"}
Kind = Literal["sqlite", "postgresql"]


class Manifest(BaseModel, frozen=True):
    """What a copy holds.

    Attributes:
        kind: of which database it is.
        version: of Hoodwright.
        schema_at: the revision of its tables.
        made_at: when.
        tables: how many rows each has, and their digest.
    """

    kind: Kind
    version: str
    schema_at: str
    made_at: datetime
    tables: Counts


def flush_to_disk(path: Path) -> None:
    """Wait until a file, or the names in a folder, are on the disk."""
    number = os.open(path, os.O_RDONLY)
    try:
        os.fsync(number)
    except OSError:
        if not path.is_dir():  # not every system syncs a folder
            raise
    finally:
        os.close(number)


def beside(path: Path) -> Path:
    """Return where a file is written until it is whole."""
    return path.with_name(f".{path.name}.{os.getpid()}.part")


@contextmanager
def appearing(path: Path) -> Generator[Path]:
    """Yield a path to write to; the file has its name only once it is whole and on the disk.

    Raises:
        KeepingError: if the place cannot be written to; nothing stays behind.
    """
    part = beside(path)
    try:
        path.parent.mkdir(parents=True, exist_ok=True)
        yield part
        flush_to_disk(part)
        part.replace(path)
        if os.name == "posix":
            flush_to_disk(path.parent)
    except OSError as error:
        reason = error.strerror or str(error)
        raise KeepingError(f"{path} cannot be written: {reason}. Choose another place.") from error
    finally:
        with suppress(OSError):
            part.unlink()


def pack(to: Path, content: Path, manifest: Manifest) -> None:
    """Write a copy."""
    with zipfile.ZipFile(to, "w", zipfile.ZIP_DEFLATED, compresslevel=6) as whole:
        whole.writestr(LIST, manifest.model_dump_json(indent=1))
        whole.write(content, CONTENT[manifest.kind])


def read_manifest(path: Path) -> Manifest:
    """Return what a copy says that it holds.

    Raises:
        KeepingError: if there is no such file.
        DamagedError: if it is no copy of ours.
    """
    try:
        with zipfile.ZipFile(path) as whole:
            return Manifest.model_validate_json(whole.read(LIST))
    except OSError as error:
        reason = error.strerror or str(error)
        raise KeepingError(f"{path} cannot be read: {reason}. Give the file of a copy.") from error
    except (zipfile.BadZipFile, zlib.error, KeyError, ValidationError, RuntimeError) as error:
        message = f"{path} is damaged, or no copy of Hoodwright's. Take another copy."
        raise DamagedError(message) from error


def unpack(path: Path, manifest: Manifest, to: Path) -> None:
    """Write the database of a copy to a file.

    Raises:
        DamagedError: if the copy was cut short or changed.
    """
    try:
        with (
            zipfile.ZipFile(path) as whole,
            whole.open(CONTENT[manifest.kind]) as content,
            to.open("wb") as out,
        ):
            copyfileobj(content, out)
            out.flush()
            os.fsync(out.fileno())
    except (zipfile.BadZipFile, zlib.error, KeyError, EOFError, RuntimeError) as error:
        raise DamagedError(f"{path} is damaged. Take another copy.") from error
