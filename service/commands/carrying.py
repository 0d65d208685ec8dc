"""`import` and `export`: tables brought in, and the whole shop taken out and brought in again."""

import argparse
import sys
from datetime import datetime
from pathlib import Path
from typing import Final

from service.bringing.bodies import Kind, ReportOut
from service.bringing.files import bring_in_at_once, refuse
from service.bringing.sheet import MOST_BYTES, read_sheet
from service.bringing.survey import survey
from service.commands.opening import opened
from service.db import Database
from service.errors import NotAllowedError, ServiceError
from service.keeping.archive import appearing
from service.keeping.faults import KeepingError, NotEmptyError, WrongFileError
from service.orders import utc_now
from service.takeout.again import bring_shop, is_whole_shop
from service.takeout.out import WRITERS, name_of

_WORDS: Final = {
    Kind.ORDER: "orders",
    Kind.DOG: "dogs without an order",
    Kind.BUYER: "buyers alone",
    Kind.AGAIN: "brought in before",
}


def read_file(path: Path, most: int = MOST_BYTES) -> bytes:
    """Return the content of a file, as far as it is wanted.

    Raises:
        KeepingError: if it cannot be read.
    """
    try:
        with path.open("rb") as file:
            return file.read(most + 1)
    except OSError as error:
        reason = error.strerror or str(error)
        raise KeepingError(f"{path} cannot be read: {reason}.") from error


def wrong_file(path: Path, error: ServiceError) -> WrongFileError:
    """Return what is wrong with a file, each place on a line of its own."""
    told = [f"  {place}: {said}" for place, said in error.fields.items()]
    if len(told) == 1 and str(error) in told[0]:  # not the same sentence twice
        return WrongFileError(f"{path}:{told[0].removeprefix(' ')}")
    return WrongFileError("\n".join([f"{path}: {error}", *told]))


def _told(report: ReportOut) -> str:
    parts = [f"{report.counts[k]} {words}" for k, words in _WORDS.items() if report.counts.get(k)]
    new = f"{report.new_buyers} new buyers, {report.new_dogs} new dogs"
    read = f"Letters read as {report.letters}, cells cut at the {report.separator}."
    left = f" Left out: {', '.join(report.ignored)}." if report.ignored else ""
    return f"{', '.join(parts)}; {new}. {read}{left}"


def _tick(done: int, whole: int) -> None:
    if sys.stderr.isatty() and (done % 500 == 0 or done == whole):
        print(f"\r{done} of {whole} lines", end="\n" if done == whole else "", file=sys.stderr)


def _table(database: Database, arguments: argparse.Namespace, now: datetime) -> int:
    content, yarn = read_file(arguments.file), arguments.yarn or ""
    if not arguments.look:
        report = bring_in_at_once(database, content, yarn, now, _tick)
        print(f"Brought in: {_told(report)}")
        return 0
    with database.reading() as session:
        report = survey(session, read_sheet(content), yarn, now, tick=_tick).report
    for line in report.lines:
        if not line.wrong:
            print(f"line {line.line}: {line.who}: {', '.join(line.does)}")
    refuse(report)
    print(f"Nothing was brought in yet. The file has: {_told(report)}")
    return 0


def bring_in(arguments: argparse.Namespace) -> int:
    """Bring a table in, or a whole shop into an empty one."""
    path: Path = arguments.file
    begin = read_file(path, 16)
    with opened(arguments.data) as database:
        if not is_whole_shop(begin):
            try:
                return _table(database, arguments, utc_now())
            except ServiceError as error:
                raise wrong_file(path, error) from error
        try:
            with database.writing() as session:
                counts = bring_shop(session, path)
        except NotAllowedError as error:
            raise NotEmptyError(str(error)) from error
        except ServiceError as error:
            raise wrong_file(path, error) from error
    print(
        f"Brought in: the whole shop, {counts['hood_order']} orders, {sum(counts.values())} rows."
    )
    return 0


def take_out(arguments: argparse.Namespace) -> int:
    """Take everything out into one file."""
    now, kind = utc_now(), "json" if arguments.json else "zip"
    to: Path = arguments.to or Path(name_of(kind, now))
    if to.exists():
        raise NotEmptyError(f"{to} is there already. Choose another name; it was left as it is.")
    with opened(arguments.data) as database, appearing(to) as part, part.open("wb") as file:
        counts = WRITERS[kind](database, now, file)
    print(f"Taken out: {to} ({counts['hood_order']} orders, {sum(counts.values())} rows in all).")
    return 0
