"""Days touched by the events of iCalendar files, by PyPI icalendar and recurring-ical-events: the oracle for `import_ics`.

Writes JSON lines to the file named: a file's text, the site's zone, the year's days that its events touch, with their summaries. The files are those
of the folder `calendar_ics/`, and random ones whose rules combine what closures use.

An event with a zone or in UTC touches the site's local days; one without, the days as written. Its end is excluded.
"""
import datetime as dt
import json
import pathlib
import random
import sys
import zoneinfo

import icalendar
import recurring_ical_events

zoneinfo.reset_tzpath(())

FILES = pathlib.Path(__file__).parent / "calendar_ics"
FIRST, LAST = dt.date(2027, 1, 1), dt.date(2027, 12, 31)
SITE = "America/New_York"
RANDOM_FILES, EVENTS = 60, 5
WEEKDAYS = ["MO", "TU", "WE", "TH", "FR", "SA", "SU"]


def days_touched(event, site):
    start, end = event["DTSTART"].dt, event["DTEND"].dt if "DTEND" in event else None
    if not isinstance(start, dt.datetime):
        return start, max(start, (end or start + dt.timedelta(1)) - dt.timedelta(1))
    end = end or start
    if start.tzinfo is not None:
        start, end = (moment.astimezone(dt.timezone.utc) for moment in (start, end))
    last = max(start, end - dt.timedelta(seconds=1))
    if start.tzinfo is not None:
        start, last = (moment.astimezone(site) for moment in (start, last))
    return start.date(), last.date()


def expected(text, zone):
    site = zoneinfo.ZoneInfo(zone)
    calendar = icalendar.Calendar.from_ical(text)
    # A day more at both ends, for events of other zones; cut to the year below.
    window = FIRST - dt.timedelta(2), LAST + dt.timedelta(3)
    found = set()
    for event in recurring_ical_events.of(calendar).between(*window):
        first, last = days_touched(event, site)
        if first <= LAST and FIRST <= last:
            found.add((str(max(first, FIRST)), str(min(last, LAST)), str(event.get("SUMMARY", ""))))
    return sorted(found)


def rule(rng, start, timed):
    freq = rng.choice(["DAILY", "WEEKLY", "MONTHLY", "YEARLY"])
    parts = [f"FREQ={freq}"]
    if rng.random() < 0.4:
        parts.append(f"INTERVAL={rng.randint(1, 4)}")
    if freq == "WEEKLY":
        if rng.random() < 0.6:
            days = sorted({start.weekday(), rng.randrange(7)})
            parts.append("BYDAY=" + ",".join(WEEKDAYS[day] for day in days))
            parts.append("WKST=" + rng.choice(["MO", "SU"]))
    elif freq in ("MONTHLY", "YEARLY"):
        kind = rng.choice(["plain", "nth", "last", "monthday"])
        weekday = WEEKDAYS[start.weekday()]
        month = f"BYMONTH={start.month};" if freq == "YEARLY" else ""
        if kind == "nth":
            parts.append(f"{month}BYDAY={(start.day - 1) // 7 + 1}{weekday}")
        elif kind == "last" and (start + dt.timedelta(7)).month != start.month:
            parts.append(f"{month}BYDAY=-1{weekday}")
        elif kind == "monthday":
            parts.append(f"{month}BYMONTHDAY={start.day}")
    ending = rng.random()
    if ending < 0.3:
        parts.append(f"COUNT={rng.randint(1, 40)}")
    elif ending < 0.6:
        until = start + dt.timedelta(rng.randint(10, 900))
        parts.append("UNTIL=" + until.strftime("%Y%m%dT%H%M%SZ" if timed == "zone" else "%Y%m%dT%H%M%S" if timed else "%Y%m%d"))
    return "RRULE:" + ";".join(parts)


def random_event(rng, number):
    day = dt.date(2025, 6, 1) + dt.timedelta(rng.randrange(900))
    timed = rng.choice([None, None, "floating", "zone", "utc"])
    lines = ["BEGIN:VEVENT", f"UID:{number}@saltmarsh.example", f"SUMMARY:Closure {number}"]
    if timed is None:
        start = day
        lines.append(f"DTSTART;VALUE=DATE:{day:%Y%m%d}")
        if rng.random() < 0.5:
            lines.append(f"DTEND;VALUE=DATE:{day + dt.timedelta(rng.randint(1, 4)):%Y%m%d}")
        elif rng.random() < 0.5:
            lines.append(f"DURATION:P{rng.randint(1, 3)}D")
    else:
        start = dt.datetime.combine(day, dt.time(rng.randrange(24), rng.choice([0, 30])))
        stop = start + dt.timedelta(hours=rng.randint(1, 40))
        zone = rng.choice(["America/New_York", "Europe/London", "Australia/Sydney"])
        head, tail = {"floating": ("", ""), "zone": (f";TZID={zone}", ""), "utc": ("", "Z")}[timed]
        lines += [f"DTSTART{head}:{start:%Y%m%dT%H%M%S}{tail}", f"DTEND{head}:{stop:%Y%m%dT%H%M%S}{tail}"]
    if rng.random() < 0.75 and timed != "utc":
        lines.append(rule(rng, start, timed))
        if timed is None and rng.random() < 0.3:
            lines.append(f"EXDATE;VALUE=DATE:{day + dt.timedelta(7):%Y%m%d},{day + dt.timedelta(365):%Y%m%d}")
    return [*lines, "END:VEVENT"]


def random_file(rng):
    events = [line for number in range(EVENTS) for line in random_event(rng, number)]
    return "\r\n".join(["BEGIN:VCALENDAR", "VERSION:2.0", "PRODID:-//Saltmarsh Records Centre//EN", *events, "END:VCALENDAR", ""])


def main(out):
    rng = random.Random(5545)
    texts = [path.read_bytes().decode() for path in sorted(FILES.glob("*.ics"))]
    texts += [random_file(rng) for _ in range(RANDOM_FILES)]
    for text in texts:
        print(json.dumps({"ics": text, "zone": SITE, "days": expected(text, SITE)}, separators=(",", ":")), file=out)


with open(sys.argv[1], "w", encoding="utf-8", newline="\n") as table:
    main(table)
