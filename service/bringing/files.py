"""A file to bring in, kept from the look at it until it is done, and no longer."""

from datetime import datetime, timedelta
from typing import Final

from sqlmodel import Session, col, delete, select

from documents.figures import date_text
from service.bringing.bodies import BroughtOut, BroughtState, Kind, ReportOut
from service.bringing.doing import bring_in
from service.bringing.errands import Errands
from service.bringing.sheet import read_sheet
from service.bringing.spool import Spool
from service.bringing.survey import Tick, known_for, no_tick, survey
from service.db import Database
from service.errors import NotAllowedError, NotFoundError
from service.models import BroughtFile

KEPT: Final = timedelta(days=1)
"""How long a file waits; its content is people's data."""
QUICK: Final = 150
"""Lines that are looked at while the page is waited for: under a second or two (measured)."""


def forget_old(session: Session, now: datetime) -> None:
    """Delete the files that were looked at and never brought in."""
    old = (col(BroughtFile.done_at).is_(None), col(BroughtFile.at) < now - KEPT)
    session.exec(delete(BroughtFile).where(*old))


def keep_file(
    database: Database, name: str, content: bytes, yarn: str, now: datetime
) -> tuple[int, int]:
    """Keep a file that can be read, until it is done; return its number and its lines.

    Raises:
        UnreadableError: if it cannot be read as a whole.
    """
    sheet = read_sheet(content)
    with database.writing() as session:
        known_for(session, yarn)
        forget_old(session, now)
        row = BroughtFile(
            name=name[:200].replace("\0", ""),
            yarn=yarn,
            digest=sheet.digest,
            content=content,
            at=now,
        )
        session.add(row)
        session.flush()
        return row.id or 0, len(sheet.lines)


def file_of(session: Session, file_id: int, *, lock: bool = False) -> BroughtFile:
    """Return a file.

    Raises:
        NotFoundError: if there is none of that number, or no longer.
    """
    row = session.get(BroughtFile, file_id, with_for_update=lock, populate_existing=lock)
    if row is None:
        raise NotFoundError("That file is not here any more. Choose it once more.")
    return row


def report_of(row: BroughtFile) -> ReportOut | None:
    """Return what a file does or has done, or None while it was not looked at."""
    return ReportOut.model_validate(row.report) if row.report else None


def brought(database: Database, file_id: int, errands: Errands) -> BroughtOut:
    """Return how far a file is.

    Raises:
        NotFoundError: if there is none of that number, or no longer.
    """
    # First: work that ends while the row is read is one that goes on, not one that failed.
    errand = errands.of(file_id)
    working = errand is not None and not errand.over
    with database.reading() as session:
        row = file_of(session, file_id)
        report, over = report_of(row), row.done_at is not None
    state = BroughtState.LOOKED_AT
    if over:
        state = BroughtState.DONE
    elif working:
        state = BroughtState.WORKING
    elif (errand and errand.wrong) or report is None:
        state = BroughtState.FAILED
    wrong = errand.wrong if errand and state is BroughtState.FAILED else ""
    if state is BroughtState.FAILED and not wrong:
        wrong = "The work was broken off, and nothing was brought in. Choose the file once more."
    done, whole = (errand.done, errand.whole) if errand else (0, 0)
    return BroughtOut(id=file_id, state=state, done=done, whole=whole, wrong=wrong, report=report)


def _before(session: Session, row: BroughtFile) -> str:
    """Return when the very same file was brought in, as a sentence, or nothing."""
    query = select(BroughtFile).where(
        col(BroughtFile.digest) == row.digest, col(BroughtFile.done_at).is_not(None)
    )
    found = session.exec(query.order_by(col(BroughtFile.id).desc()).limit(1)).first()
    if found is None or found.done_at is None:
        return ""
    return f"This very file was brought in on {date_text(found.done_at.date())}."


def _content(row: BroughtFile) -> bytes:
    if row.content is None:
        raise NotAllowedError("This file was brought in already.")
    return row.content


def look(database: Database, file_id: int, now: datetime, tick: Tick = no_tick) -> ReportOut:
    """Say what a file would do, and keep that.

    Raises:
        NotFoundError: if there is no such file.
        NotAllowedError: if it was brought in already.
    """
    with database.reading() as session:
        row = file_of(session, file_id)
        sheet = read_sheet(_content(row))
        report = survey(session, sheet, row.yarn, now, tick=tick).report
        report = report.model_copy(update={"before": _before(session, row)})
    with database.writing() as session:
        row = file_of(session, file_id, lock=True)
        if row.done_at is None:
            row.report = report.model_dump(mode="json")
            session.add(row)
    return report


def do(database: Database, file_id: int, now: datetime, tick: Tick = no_tick) -> ReportOut:
    """Bring a file in, whole or not at all; a second time changes nothing.

    Raises:
        NotFoundError: if there is no such file.
        NotAllowedError: if a line is refused; then nothing was brought in.
        StaleError: if something was changed while it was worked out.
    """
    with Spool() as spool:
        with database.reading() as session:
            row = file_of(session, file_id)
            if row.done_at and (known := report_of(row)):
                return known
            sheet = read_sheet(_content(row))
            found = survey(session, sheet, row.yarn, now, spool, tick)
        refuse(found.report)
        with database.writing() as session:
            row = file_of(session, file_id, lock=True)
            if row.done_at and (known := report_of(row)):
                return known
            bring_in(session, spool, found.shop_version, now, tick)
            # Who was in the file is with the orders now, and nowhere else.
            told = found.report.model_copy(update={"lines": [], "untold": len(sheet.lines)})
            row.report, row.content, row.name, row.done_at = (
                told.model_dump(mode="json"), None, "", now,
            )  # fmt: skip
            session.add(row)
    return found.report


def refuse(report: ReportOut) -> None:
    """Refuse a file with a line that cannot be brought in.

    Raises:
        NotAllowedError: naming the first of these lines, each with what is wrong.
    """
    if report.good:
        return
    count = report.counts[Kind.REFUSED]
    what = "1 line is" if count == 1 else f"{count} lines are"
    wrong = {
        f"line {line.line}, {column}" if column != "line" else f"line {line.line}": said
        for line in report.lines
        for column, said in line.wrong.items()
    }
    message = f"{what} refused, so nothing of the file was brought in. Correct it, then again."
    raise NotAllowedError(message, dict(list(wrong.items())[:100]))


def bring_in_at_once(
    database: Database, content: bytes, yarn: str, now: datetime, tick: Tick = no_tick
) -> ReportOut:
    """Bring a file in that nobody keeps: for the command line.

    Raises:
        UnreadableError: if it cannot be read as a whole.
        NotAllowedError: if a line is refused; then nothing was brought in.
    """
    sheet = read_sheet(content)
    with Spool() as spool:
        with database.reading() as session:
            found = survey(session, sheet, yarn, now, spool, tick)
        refuse(found.report)
        with database.writing() as session:
            bring_in(session, spool, found.shop_version, now, tick)
    return found.report
