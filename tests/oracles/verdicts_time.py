"""Schedules of a job, asked minute by minute what they say, on the clock of the standard library.

The meaning is that of a BACnet schedule (ASHRAE 135): inside the effective days the exceptions by priority, of equals
the first written, then the week, then the default; outside them the default. Of an occupancy schedule a window ends in
`unoccupied`; before its first window a day of the week shows the default.
"""
import calendar
import datetime as dt
import zoneinfo

# The rules of the pinned tzdata package, not those of the computer: governments change them from year to year.
zoneinfo.reset_tzpath(to=[])

WEEKDAYS = ["monday", "tuesday", "wednesday", "thursday", "friday", "saturday", "sunday"]
MONTHS = ["january", "february", "march", "april", "may", "june", "july", "august", "september", "october", "november",
          "december"]
ORDINALS = ["first", "second", "third", "fourth", "fifth"]
DAY = dt.timedelta(days=1)


def minutes(site):
    """Every minute of the review period as the wall clock shows it, in the order in which they pass."""
    zone = zoneinfo.ZoneInfo(site["time-zone"])
    first = dt.date.fromisoformat(site["review"]["from"])
    end = first + int(site["review"]["days"]) * DAY
    moment = dt.datetime.combine(first - 2 * DAY, dt.time(), dt.timezone.utc)
    shown = []
    while moment.date() < end + 2 * DAY:
        local = moment.astimezone(zone)
        if first <= local.date() < end:
            shown.append(local)
        moment += dt.timedelta(minutes=1)
    return shown


def course(schedule, calendars, shown):
    """Whether a schedule is on (`occupied` or `on`) at every one of those minutes; its quantity, if it has such."""
    switches = schedule["values"] == "occupancy" or isinstance(schedule["values"], list)
    schedule = Schedule(schedule, calendars)
    values = [schedule.value(local.date(), local.hour * 60 + local.minute) for local in shown]
    return [value in {"occupied", "on"} for value in values] if switches else values


class Schedule:
    def __init__(self, written, calendars):
        self.default = written["default"]
        occupancy = written["values"] == "occupancy"
        self.off = "unoccupied" if occupancy else self.default
        self.week = {day: _windows(plan) for days, plan in written.get("week", {}).items() for day in _days(days)}
        effective = written.get("effective", {})
        self.first = dt.date.fromisoformat(effective.get("from", "0001-01-01"))
        self.last = dt.date.fromisoformat(effective.get("to", "9999-12-31"))
        exceptions = sorted(written.get("exceptions", []), key=lambda e: int(e.get("priority", 16)))
        self.exceptions = [
            (_entries(e["on"], calendars), "hours" in e, _windows(e.get("hours", e.get("also")))) for e in exceptions
        ]

    def value(self, date, minute):
        if not self.first <= date <= self.last:
            return self.default
        for entries, replaces, windows in self.exceptions:
            if any(_names(entry, date) for entry in entries):
                held = _held(windows, minute)
                if held is not None:
                    return held
                if replaces:
                    return self.off
        windows = self.week.get(date.weekday(), [])
        held = _held(windows, minute)
        if held is not None:
            return held
        return self.off if any(end <= minute for _, end, _ in windows) else self.default


def _held(windows, minute):
    for start, end, value in windows:
        if start <= minute < end:
            return value
    return None


def _windows(plan):
    if plan == "none":
        return []
    if isinstance(plan, dict):
        return [(*_times(window), value) for window, value in plan.items()]
    return [(*_times(window), "occupied") for window in ([plan] if isinstance(plan, str) else plan)]


def _times(window):
    if window == "all-day":
        return 0, 1440
    start, end = ([int(part) for part in time.split(":")] for time in window.split("-"))
    return start[0] * 60 + start[1], end[0] * 60 + end[1]


def _days(text):
    first, _, last = text.partition("-")
    short = [day[:3] for day in WEEKDAYS]
    start, count = short.index(first), (short.index(last or first) - short.index(first)) % 7
    return [(start + i) % 7 for i in range(count + 1)]


def _entries(on, calendars):
    if isinstance(on, dict):
        return [on]
    return [{"date": on}] if on[0].isdigit() else calendars[on]


def _names(entry, date):
    """Whether a calendar's entry names a day."""
    if "date" in entry:
        return dt.date.fromisoformat(entry["date"]) == date
    if "every" in entry:
        return _every(entry["every"].split(), date)
    return (dt.date.fromisoformat(entry.get("from", "0001-01-01")) <= date
            <= dt.date.fromisoformat(entry.get("to", "9999-12-31")))


def _every(words, date):
    """Week and day in words: `last monday of may`, `second week of odd months`, `even days of july`, `25 december`."""
    if words[-1] in MONTHS:
        if date.month != MONTHS.index(words[-1]) + 1:
            return False
    elif words[-2:] == ["odd", "months"] and date.month % 2 == 0 or words[-2:] == ["even", "months"] and date.month % 2:
        return False
    length = calendar.monthrange(date.year, date.month)[1]
    if words[0].isdigit():
        return date.day == int(words[0])
    if words[0] in {"odd", "even"} and words[1] == "days":
        return date.day % 2 == (words[0] == "odd")
    if words[:2] == ["last", "day"]:
        return date.day == length
    if words[0] in ORDINALS or words[0] == "last":
        first = 7 * ORDINALS.index(words[0]) + 1 if words[0] in ORDINALS else length - 6
        if not first <= date.day < first + 7:
            return False
        words = words[1:]
    return words[0] == "week" or date.weekday() == WEEKDAYS.index(words[0])
