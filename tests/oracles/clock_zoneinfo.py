"""Local time around every clock change of 2027 by Python's zoneinfo on PyPI tzdata: the oracle for `calendar`'s clock.

Writes CSV to the file named: zone, Unix seconds, local date, minute of the local day. Moments: every quarter of an hour, with the minute
before it, from three hours before each change to three hours after, and each noon of the year's first days of months.
A change is found where the offset from UTC differs between two minutes.

Zones are those whose rules for 2027 are settled law in every release of the time zone database since 2023; a zone that
decides year by year (Africa/Casablanca) is left out, since two releases may differ.
"""
import datetime as dt
import sys
import zoneinfo

zoneinfo.reset_tzpath(())  # PyPI tzdata only, never the system's own

ZONES = ["America/New_York", "America/St_Johns", "America/Santiago", "Europe/London", "Australia/Lord_Howe",
         "Pacific/Auckland", "America/Havana", "America/Phoenix"]
START = int(dt.datetime(2027, 1, 1, tzinfo=dt.timezone.utc).timestamp())
DAYS = 365


def offset(zone, instant):
    return dt.datetime.fromtimestamp(instant, zone).utcoffset()


def changes(zone):
    """Unix seconds of every clock change of the year, to the minute."""
    for day in range(DAYS):
        before, after = START + day * 86400, START + (day + 1) * 86400
        if offset(zone, before) == offset(zone, after):
            continue
        while after - before > 60:
            middle = (before + after) // 120 * 60
            before, after = (middle, after) if offset(zone, middle) == offset(zone, before) else (before, middle)
        yield after


def moments(zone):
    for change in changes(zone):
        for quarter in range(-12, 13):
            yield from (change + quarter * 900 - 60, change + quarter * 900)
    for month in range(1, 13):
        yield int(dt.datetime(2027, month, 1, 12, tzinfo=zone).timestamp())


def main(out):
    print("zone,instant,date,minute", file=out)
    for name in ZONES:
        zone = zoneinfo.ZoneInfo(name)
        for instant in sorted(moments(zone)):
            local = dt.datetime.fromtimestamp(instant, zone)
            print(f"{name},{instant},{local.date()},{local.hour * 60 + local.minute}", file=out)


with open(sys.argv[1], "w", encoding="utf-8", newline="\n") as table:
    main(table)
