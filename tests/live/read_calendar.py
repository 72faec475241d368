"""Read a calendar from standard input with the `icalendar` library and print its events as JSON.

Exits with 77 if the library is not installed.
"""

import json
import sys

try:
    import icalendar
except ImportError:
    sys.exit(77)

calendar = icalendar.Calendar.from_ical(sys.stdin.buffer.read())
if calendar.errors:
    sys.exit(f"errors in the calendar: {calendar.errors}")
events = []
for event in calendar.walk("VEVENT"):
    if event.errors:
        sys.exit(f"errors in an event: {event.errors}")
    (alarm,) = event.walk("VALARM")
    events.append(
        {
            "uid": str(event["UID"]),
            "summary": str(event["SUMMARY"]),
            "description": str(event["DESCRIPTION"]),
            "start": int(event["DTSTART"].dt.timestamp()),
            "alarm_min": int(alarm["TRIGGER"].dt.total_seconds() // 60),
        }
    )
json.dump(events, sys.stdout)
