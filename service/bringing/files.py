"""A file to bring in, kept from the look at it until it is done, and no longer."""

from datetime import datetime, timedelta
from typing import Final

from sqlmodel import Session, col, delete, select

from documents.figures import date_text
from service.bringing.bodies import BroughtOut, BroughtState, Kind, ReportOut
from service.bringing.doing import bring_in
from service.bringing.sheet import read_sheet
from service.bringing.spool import Spool
from service.bringing.survey import known_for, no_tick, survey
from service.db import Database
from service.errands import BROKEN, Errands, Lane, Tick
from service.errors import NotAllowedError, NotFoundError, UnreadableError
from service.models import BroughtFile

KEPT: Final = timedelta(days=1)
"""How long a file waits; its content is people's data."""
MOST_SENT: Final = 4_000_000
"""Bytes of a file that comes as a request, some 20,000 orders: taking it in costs them all."""
_EMPTY: Final = "Choose a file first; an empty one brings nothing in."
_TOO_LARGE: Final = (
    f"The file is larger than {MOST_SENT // 1_000_000} MB. Bring it in in several files, or with"
    " `hoodwright import`, which takes larger ones."
)


def forget_old(session: Session, now: datetime) -> None:
    """Delete the files that were looked at and never brought in."""
    old = (col(BroughtFile.done_at).is_(None), col(BroughtFile.at) < now - KEPT)
    session.exec(delete(BroughtFile).where(*old))


def keep_file(
    database: Database, errands: Errands, name: str, content: bytes, yarn: str, now: datetime
) -> int:
    """Keep a file until it is done, begin to look at it, and return its number.

    Raises:
        UnreadableError: if it cannot be read as a whole, where that is found at once.
    """
    if not content:
        raise UnreadableError(_EMPTY)
    if len(content) > MOST_SENT:
        raise UnreadableError(_TOO_LARGE)
    with database.writing() as session:
        known_for(session, yarn)
        forget_old(session, now)
        row = BroughtFile(
            name=name[:200].replace("\0", ""),
            yarn=yarn,
            digest="",
            content=content,
            at=now,
            errand_id=errands.enter(session, Lane.FILES),
        )
        session.add(row)
        session.flush()
    _look_meanwhile(database, errands, row, now)
    return row.id or 0


def _look_meanwhile(database: Database, errands: Errands, row: BroughtFile, now: datetime) -> None:
    file_id = row.id or 0
    errands.begin(row.errand_id or 0, Lane.FILES, lambda tick: look(database, file_id, now, tick))


def _entered(database: Database, errands: Errands, file_id: int) -> BroughtFile | None:
    """Write work on a file down; None where there is nothing to do, or it is done just now."""
    with database.writing() as session:
        row = file_of(session, file_id, lock=True)
        going = row.errand_id and not errands.progress(session, row.errand_id).over
        if row.done_at or going:
            return None
        row.errand_id = errands.enter(session, Lane.FILES)
        session.add(row)
        return row


def look_again(database: Database, errands: Errands, file_id: int, now: datetime) -> None:
    """Begin to look at a file once more.

    Raises:
        NotFoundError: if there is none of that number, or no longer.
    """
    if row := _entered(database, errands, file_id):
        _look_meanwhile(database, errands, row, now)


def begin(database: Database, errands: Errands, file_id: int, now: datetime) -> None:
    """Begin to bring a file in, unless that is done or goes on.

    Raises:
        NotFoundError: if there is none of that number, or no longer.
        NotAllowedError: if a line is refused; then nothing was brought in.
        StaleError: if something was changed while it was worked out.
    """
    if row := _entered(database, errands, file_id):
        errands.begin(
            row.errand_id or 0, Lane.FILES, lambda tick: do(database, file_id, now, tick)
        )


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
    with database.reading() as session:
        row = file_of(session, file_id)
        progress = errands.progress(session, row.errand_id)
        # Once more: work that ended in between has written what it found.
        session.refresh(row)
        report, over, known = report_of(row), row.done_at is not None, row.errand_id is not None
    state, wrong = BroughtState.LOOKED_AT, ""
    if over:
        state = BroughtState.DONE
    elif not progress.over:
        state = BroughtState.WORKING
    elif report is None or (known and progress.wrong):
        state, wrong = BroughtState.FAILED, progress.wrong or BROKEN
    return BroughtOut(
        id=file_id,
        state=state,
        done=progress.done,
        whole=progress.whole,
        wrong=wrong,
        report=report,
    )


def _before(session: Session, digest: str) -> str:
    """Return when the very same file was brought in, as a sentence, or nothing."""
    query = select(BroughtFile).where(
        col(BroughtFile.digest) == digest, col(BroughtFile.done_at).is_not(None)
    )
    found = session.exec(query.order_by(col(BroughtFile.id).desc()).limit(1)).first()
    if found is None or found.done_at is None:
        return ""
    return f"This very file was brought in on {date_text(found.done_at.date())}."


def _content(row: BroughtFile) -> bytes:
    if row.content is None:
        raise NotAllowedError("This file was brought in already.")
    return row.content


def look(database: Database, file_id: int, now: datetime, tick: Tick = no_tick) -> None:
    """Work out what a file would do, and keep that.

    Raises:
        UnreadableError: if it cannot be read as a whole.
        NotFoundError: if there is no such file.
        NotAllowedError: if it was brought in already.
    """
    with database.reading() as session:
        row = file_of(session, file_id)
        sheet = read_sheet(_content(row))
        report = survey(session, sheet, row.yarn, now, tick=tick).report
        report = report.model_copy(update={"before": _before(session, sheet.digest)})
    with database.writing() as session:
        row = file_of(session, file_id, lock=True)
        if row.done_at is None:
            row.report, row.digest = report.model_dump(mode="json"), sheet.digest
            session.add(row)


def do(database: Database, file_id: int, now: datetime, tick: Tick = no_tick) -> None:
    """Bring a file in, whole or not at all; a second time changes nothing.

    Raises:
        NotFoundError: if there is no such file.
        NotAllowedError: if a line is refused; then nothing was brought in.
        StaleError: if something was changed while it was worked out.
    """
    with Spool() as spool:
        with database.reading() as session:
            row = file_of(session, file_id)
            if row.done_at:
                return
            sheet = read_sheet(_content(row))
            found = survey(session, sheet, row.yarn, now, spool, tick)
        refuse(found.report)
        with database.writing() as session:
            row = file_of(session, file_id, lock=True)
            if row.done_at:
                return
            bring_in(session, spool, found.shop_version, now, tick)
            # Who was in the file is with the orders now, and nowhere else.
            told = found.report.model_copy(update={"lines": [], "untold": len(sheet.lines)})
            row.report, row.content, row.name, row.done_at = (
                told.model_dump(mode="json"), None, "", now,
            )  # fmt: skip
            session.add(row)


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
