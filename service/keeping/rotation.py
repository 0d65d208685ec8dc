"""Which copies stay: one of each of the last days, and one of each of the weeks before."""

import re
from collections.abc import Iterable
from datetime import date
from pathlib import Path
from typing import Final

DAYS: Final = 7
WEEKS: Final = 4
_NAME: Final = re.compile(r"hoodwright-([0-9]{4}-[0-9]{2}-[0-9]{2})\.zip")


def name_of(day: date) -> str:
    """Return the name of a day's copy."""
    return f"hoodwright-{day.isoformat()}.zip"


def day_of(path: Path) -> date | None:
    """Return the day of a copy, or None for a file that the rotation leaves alone."""
    found = _NAME.fullmatch(path.name)
    try:
        return date.fromisoformat(found[1]) if found else None
    except ValueError:
        return None


def staying(days: Iterable[date]) -> set[date]:
    """Return the days whose copies stay: the latest ones, and the latest of each of some weeks.

    A week (ISO 8601, from Monday) counts if it has a copy: a shop that was closed for a month
    keeps what it has.
    """
    latest = sorted(set(days), reverse=True)
    weekly: dict[tuple[int, int], date] = {}
    for day in latest:
        year, week, _ = day.isocalendar()
        weekly.setdefault((year, week), day)
    return {*latest[:DAYS], *list(weekly.values())[:WEEKS]}


def copies_in(folder: Path) -> dict[date, Path]:
    """Return the daily copies in a folder."""
    found = {day_of(path): path for path in folder.glob("hoodwright-*.zip")}
    return {day: path for day, path in found.items() if day}


def rotate(folder: Path) -> list[Path]:
    """Delete the daily copies that need not stay; return them."""
    copies = copies_in(folder)
    stay = staying(copies)
    gone = [path for day, path in sorted(copies.items()) if day not in stay]
    for path in gone:
        path.unlink()
    return gone
