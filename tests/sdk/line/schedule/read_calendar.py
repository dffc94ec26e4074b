"""Reads a calendar file with the icalendar library and prints each event as one line of JSON."""
import json
import sys

from icalendar import Calendar

with open(sys.argv[1], "rb") as file:
    calendar = Calendar.from_ical(file.read())
for event in calendar.walk("VEVENT"):
    categories = event.get("CATEGORIES")
    print(json.dumps({
        "uid": str(event["UID"]),
        "stamp": event["DTSTAMP"].dt.isoformat(),
        "start": event["DTSTART"].dt.isoformat(),
        "end": event["DTEND"].dt.isoformat(),
        "summary": str(event["SUMMARY"]),
        "description": str(event.get("DESCRIPTION", "")),
        "categories": [str(c) for c in categories.cats] if categories else [],
        "alarms": len(event.walk("VALARM")),
    }, ensure_ascii=False, sort_keys=True))
