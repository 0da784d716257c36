"""Reads a calendar from standard input with icalendar and prints all that it holds as JSON.

Times are told in UTC and as clocks show them in two time zones.
"""

import json
import sys
from datetime import datetime
from zoneinfo import ZoneInfo

from icalendar import Calendar

ZONES = ("Europe/Berlin", "America/New_York")
HEAD = {"VERSION", "PRODID", "CALSCALE", "NAME", "REFRESH-INTERVAL"}
EVENT = {
    "UID", "DTSTAMP", "DTSTART", "DTEND", "SUMMARY", "DESCRIPTION", "LOCATION", "SEQUENCE", "LAST-MODIFIED", "STATUS",
}
ALARM = {"ACTION", "DESCRIPTION", "TRIGGER"}


def known(component, names):
    """Every property that is there is one that is read below."""
    return sorted(set(component.keys()) - names)


def text(component, name):
    return None if name not in component else str(component[name])


def time(component, name):
    if name not in component:
        return None
    at: datetime = component.decoded(name)
    return [at.strftime("%Y-%m-%dT%H:%M:%S%z")] + [at.astimezone(ZoneInfo(z)).strftime("%a %d %b %H:%M") for z in ZONES]


def alarm(of):
    return {
        "action": text(of, "ACTION"),
        "words": text(of, "DESCRIPTION"),
        "minutes": of.decoded("TRIGGER").total_seconds() / 60,
        "unknown": known(of, ALARM),
    }


def event(of):
    return {
        "uid": text(of, "UID"),
        "stamp": time(of, "DTSTAMP"),
        "starts": time(of, "DTSTART"),
        "ends": time(of, "DTEND"),
        "hours": (of.decoded("DTEND") - of.decoded("DTSTART")).total_seconds() / 3600 if "DTEND" in of else None,
        "title": text(of, "SUMMARY"),
        "words": text(of, "DESCRIPTION"),
        "place": text(of, "LOCATION"),
        "sequence": of.get("SEQUENCE"),
        "last_modified": time(of, "LAST-MODIFIED"),
        "status": text(of, "STATUS"),
        "alarms": [alarm(a) for a in of.walk("VALARM")],
        "unknown": known(of, EVENT),
        "errors": [str(e) for e in of.errors],
    }


def name(of):
    """The library does not know that NAME is text (RFC 7986, section 5.1), so it is read as the text of an event."""
    if "NAME" not in of:
        return None
    event = Calendar.from_ical(f"BEGIN:VEVENT\r\nSUMMARY:{of['NAME']}\r\nEND:VEVENT\r\n")
    return text(event, "SUMMARY")


source = sys.stdin.buffer.read()
calendar = Calendar.from_ical(source)
json.dump(
    {
        "version": text(calendar, "VERSION"),
        "made_by": text(calendar, "PRODID"),
        "name": name(calendar),
        "refresh_h": calendar.decoded("REFRESH-INTERVAL").total_seconds() / 3600
        if "REFRESH-INTERVAL" in calendar
        else None,
        "unknown": known(calendar, HEAD),
        "errors": [str(e) for e in calendar.errors],
        "events": [event(e) for e in calendar.walk("VEVENT")],
    },
    sys.stdout,
    ensure_ascii=True,
)
