"""Random BACnet schedules and moments, valued by PyPI bacpypes3 0.0.110: the oracle for `calendar`.

Writes JSON lines to the file named, one schedule each with the moments it was asked for. A schedule is written in windows as
`calendar` takes it and given to bacpypes3 as the standard's lists of times and values.

Limits of the oracle, and what is done about them:
- a NULL in a list is never recognised: the class below stands in for the broken test;
- of equal priorities the last in the list wins, where the standard has the first: priorities here are distinct, so
  that ties are held by tests of their own in Rust;
- lists must be in order of time, and an open start date is never effective: both are always given so;
- outside the effective period it has no value: taken as the default;
- it knows no time zone: the moments are local dates and times.
"""
import datetime as dt
import json
import random
import sys

import bacpypes3.local.schedule as local
from bacpypes3.basetypes import (CalendarEntry, DailySchedule, DateRange, SpecialEvent, SpecialEventPeriod, TimeValue,
                                 WeekNDay)
from bacpypes3.constructeddata import AnyAtomic
from bacpypes3.primitivedata import Date, Null, Real, Time

SCHEDULES, MOMENTS = 500, 20
YEAR = [dt.date(2027, 1, 1) + dt.timedelta(days) for days in range(365)]


class AnyNull(type):
    def __instancecheck__(cls, value):
        return type(value) is Null or (isinstance(value, AnyAtomic) and isinstance(value.get_value(), Null))


class NullOrHoldsNull(metaclass=AnyNull):
    pass


local.Null = NullOrHoldsNull


def plan(rng, most):
    """Up to `most` windows that do not overlap, some of them touching, on minutes that moments will hit."""
    marks = sorted(rng.sample(range(0, 1441, rng.choice([1, 15, 30])), 2 * rng.randint(0, most)))
    windows = [[start, end, rng.randint(1, 4)] for start, end in zip(marks[::2], marks[1::2])]
    for one, following in zip(windows, windows[1:]):
        if rng.random() < 0.3:
            one[1] = following[0]
    return windows


def occurrence(rng):
    kind = rng.choice(["date", "range", "week", "day"])
    month = rng.choice([255, 13, 14, *range(1, 13)])
    if kind == "date":
        return {"date": str(rng.choice(YEAR))}
    if kind == "range":
        start = rng.choice(YEAR)
        return {"range": [str(start), str(start + dt.timedelta(rng.randint(0, 60)))]}
    if kind == "week":
        return {"week": [month, rng.choice([255, *range(1, 10)]), rng.choice([255, *range(1, 8)])]}
    return {"day": [month, rng.choice([255, 32, 33, 34, *range(1, 32)])]}


def schedule(rng):
    exceptions = [{"on": [occurrence(rng) for _ in range(rng.randint(1, 2))], "rule": rng.choice(["replace", "add"]),
                   "plan": plan(rng, 2), "priority": priority}
                  for priority in rng.sample(range(1, 17), rng.randint(0, 6))]
    first = rng.choice(YEAR[:60]) if rng.random() < 0.3 else YEAR[0]
    last = rng.choice(YEAR[-60:]) if rng.random() < 0.3 else YEAR[-1]
    return {"default": rng.randint(0, 4), "off": 0, "week": [plan(rng, 3) for _ in range(7)], "exceptions": exceptions,
            "effective": [str(first), str(last)]}


def bacnet_date(text):
    date = dt.date.fromisoformat(text)
    return Date((date.year - 1900, date.month, date.day, date.isoweekday()))


def time_values(windows, before, after):
    """A list of times and values: `before` at 00:00 where given, `after` at each end that begins no other window."""
    values = {} if before is None else {0: before}
    starts = {start for start, _, _ in windows}
    for start, end, value in windows:
        values[start] = value
        if end < 1440 and end not in starts:
            values[end] = after
    return [TimeValue(time=Time((minute // 60, minute % 60, 0, 0)),
                      value=AnyAtomic(Null(()) if value is None else Real(float(value))))
            for minute, value in sorted(values.items())]


def calendar_entry(on):
    [(kind, value)] = on.items()
    if kind == "date":
        return CalendarEntry(date=bacnet_date(value))
    if kind == "range":
        return CalendarEntry(dateRange=DateRange(startDate=bacnet_date(value[0]), endDate=bacnet_date(value[1])))
    if kind == "week":
        return CalendarEntry(weekNDay=WeekNDay(bytes(value)))
    return CalendarEntry(date=Date((255, *value, 255)))


def bacnet_schedule(written):
    off = written["off"]
    special = []
    for exception in written["exceptions"]:
        before, after = (off, off) if exception["rule"] == "replace" else (None, None)
        special += [SpecialEvent(period=SpecialEventPeriod(calendarEntry=calendar_entry(on)),
                                 listOfTimeValues=time_values(exception["plan"], before, after),
                                 eventPriority=exception["priority"])
                    for on in exception["on"]]
    first, last = written["effective"]
    return local.ScheduleObject(
        objectIdentifier="schedule,1", objectName="schedule", presentValue=Real(0.0),
        effectivePeriod=DateRange(startDate=bacnet_date(first), endDate=bacnet_date(last)),
        weeklySchedule=[DailySchedule(daySchedule=time_values(day, None, off)) for day in written["week"]],
        exceptionSchedule=special, scheduleDefault=AnyAtomic(Real(float(written["default"]))),
        listOfObjectPropertyReferences=[], priorityForWriting=16, outOfService=False)


def moments(rng, written):
    """Half of them at random, half at an edge or a minute beside it, on days that an exception names where it can."""
    dates = [dt.date.fromisoformat(on[kind] if kind == "date" else on[kind][0])
             for exception in written["exceptions"] for on in exception["on"] for kind in on if kind in ("date", "range")]
    edges = [minute for windows in [*written["week"], *(one["plan"] for one in written["exceptions"])]
             for start, end, _ in windows for minute in (start, end)]
    for place in range(MOMENTS):
        date = rng.choice(dates) if dates and rng.random() < 0.4 else rng.choice(YEAR)
        minute = rng.randrange(1440)
        if edges and place % 2:
            minute = min(max(rng.choice(edges) + rng.choice([-1, 0, 1]), 0), 1439)
        yield date, minute


def main(out):
    rng = random.Random(135)
    for _ in range(SCHEDULES):
        written = schedule(rng)
        evaluated = bacnet_schedule(written)
        written["at"] = []
        for date, minute in moments(rng, written):
            found = evaluated.eval(bacnet_date(str(date)), Time((minute // 60, minute % 60, 0, 0)))
            value = written["default"] if found is None else int(found[0].get_value())
            written["at"].append([str(date), minute, value])
        print(json.dumps(written, separators=(",", ":")), file=out)


with open(sys.argv[1], "w", encoding="utf-8", newline="\n") as table:
    main(table)
