"""Entries written as iCalendar (RFC 5545, with the name and the pace of RFC 7986)."""

from collections.abc import Iterable
from datetime import datetime, timedelta
from typing import Final

from icalendar import Calendar, Event, Timezone, TimezoneStandard
from icalendar.prop import vDuration, vText

from service import VERSION
from service.calendar.entries import Entry

MEDIA: Final = "text/calendar; charset=utf-8"
_DAY: Final = timedelta(days=1)
_PACE: Final = timedelta(hours=1)
"""How often a subscriber may ask again."""


def _plain(text: str) -> str:
    """Return a text without control characters, which RFC 5545 does not allow in one."""
    return "".join(sign for sign in text if sign >= " " and not "\x7f" <= sign <= "\x9f")


def _event(entry: Entry) -> Event:
    event = Event()
    event.add("uid", entry.uid)
    # Without a method, the stamp says when the entry was last another.
    event.add("dtstamp", entry.changed)
    event.add("created", entry.created)
    event.add("last-modified", entry.changed)
    if entry.sequence is not None:
        event.add("sequence", entry.sequence)
    event.add("dtstart", entry.first)
    event.add("dtend", entry.last + _DAY)  # the first day that it is over
    event.add("summary", _plain(entry.summary))
    event.add("description", _plain(entry.note))
    event.add("url", entry.link)
    event.add("status", "CANCELLED" if entry.cancelled else "CONFIRMED")
    event.add("transp", "TRANSPARENT")  # whoever made it is not away
    event.add("class", "PRIVATE")
    return event


def _no_event() -> Timezone:
    """Return a component that says nothing: a calendar must hold one."""
    zone, standard = Timezone(), TimezoneStandard()
    zone.add("tzid", "UTC")
    standard.add("dtstart", datetime(1970, 1, 1))  # noqa: DTZ001 - local time by RFC 5545
    standard.add("tzoffsetfrom", timedelta(0))
    standard.add("tzoffsetto", timedelta(0))
    zone.add_component(standard)
    return zone


def calendar(name: str, entries: Iterable[Entry]) -> bytes:
    """Return a calendar file.

    Args:
        name: what calendar programs call it.
        entries: what stands in it; none is no fault.

    Returns:
        UTF-8, lines of 75 octets at most that end in CRLF.
    """
    made = Calendar()
    made.add("prodid", f"-//Hoodwright//{VERSION}//EN")
    made.add("version", "2.0")
    made.add("calscale", "GREGORIAN")
    for title in ("name", "x-wr-calname"):
        made.add(title, vText(_plain(name)))  # the library escapes no other text here
    made.add("refresh-interval", vDuration(_PACE), parameters={"value": "DURATION"})
    made.add("x-published-ttl", vDuration(_PACE))
    events = [_event(entry) for entry in entries]
    made.subcomponents += events or [_no_event()]
    written: bytes = made.to_ical()
    return written
