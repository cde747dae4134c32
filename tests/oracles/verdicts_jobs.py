"""Random jobs: unit types, wiring, zones, schedules and a review period, the same for the same seed."""
import datetime as dt

import verdicts_units

CALLS = ["cool-1", "cool-2", "heat-1", "heat-2", "dehumidify", "humidify", "fan"]
SENSES = ["occupied", "smoke", "low-limit", "proof-of-airflow", "enable", "frost"]
SERVICES = ["cooling", "heating", "humidification", "ventilation"]
# Zones, and days near which their clocks change: at night, at midnight, by half an hour, or never.
CLOCKS = [("America/New_York", "2027-03-14"), ("America/New_York", "2027-11-07"), ("Europe/Berlin", "2027-03-28"),
          ("Europe/Berlin", "2027-10-31"), ("Australia/Lord_Howe", "2027-04-04"), ("America/Havana", "2027-03-14"),
          ("America/Havana", "2027-11-07"), ("America/Santiago", "2027-09-05"), ("America/Santiago", "2027-04-04"),
          ("Asia/Tokyo", "2027-06-01"), ("Pacific/Apia", "2011-12-30"), ("Asia/Kathmandu", "2028-02-28")]


def job(rng, units):
    """A job with so many units."""
    clock, change = rng.choice(CLOCKS)
    first = dt.date.fromisoformat(change) - dt.timedelta(rng.randint(0, 9))
    days = rng.randint(4, 24)
    made = Maker(rng, first, days)
    job = made.job
    job["site"] = {"name": "Saltmarsh Records Centre", "time-zone": clock,
                   "review": {"from": str(first), "days": str(days)}}
    made.times()
    made.zones(max(2, units // 4))
    made.shared_points()
    made.unit_types(max(2, units // 6))
    built_in = sorted(verdicts_units.library())
    own = sorted(job["unit-types"])
    for n in range(units):
        made.unit(f"U{n}", rng.choice(own if rng.random() < 0.65 else built_in))
    return job


class Maker:
    def __init__(self, rng, first, days):
        self.rng, self.days = rng, [first + dt.timedelta(day) for day in range(-3, days + 3)]
        self.library = verdicts_units.library()
        self.job = {"calendars": {}, "schedules": {}, "zones": {}, "unit-types": {}, "points": {}, "units": {}}

    def chance(self, share):
        return self.rng.random() < share

    # Times

    def times(self):
        for n in range(3):
            self.job["calendars"][f"calendar-{n}"] = [self.entry() for _ in range(self.rng.randint(1, 3))]
        for n in range(self.rng.randint(4, 7)):
            self.job["schedules"][f"schedule-{n}"] = self.schedule(occupancy=n < 3 or self.chance(0.6))
        self.switches = sorted(self.job["schedules"])

    def entry(self):
        rng, day = self.rng, self.rng.choice(self.days)
        kind = rng.randrange(8)
        if kind < 2:
            return {"date": str(day)}
        if kind < 4:
            return {"from": str(day), "to": str(day + dt.timedelta(rng.randint(0, 5)))}
        if kind == 4:
            return rng.choice([{"from": str(day)}, {"to": str(day)}])
        weekday = _word(day, "%A")
        month = rng.choice([_word(day, "%B"), "odd months", "even months", "every month"])
        if kind == 5:
            return {"every": weekday}
        if kind == 6:
            return {"every": f"{rng.choice(['first', 'second', 'third', 'fourth', 'fifth', 'last'])} "
                             f"{rng.choice([weekday, weekday, 'week'])} of {month}"}
        return {"every": rng.choice([f"last day of {month}", f"odd days of {month}", f"even days of {month}",
                                     f"{day.day} {_word(day, '%B')}"])}

    def schedule(self, occupancy):
        states = ["unoccupied", "occupied"]
        if not occupancy:
            states = self.rng.choice([["off", "on"], states])
        return self.course("occupancy" if occupancy else states, states)

    def course(self, values, states):
        """A schedule of some states, with the values said as `values`."""
        rng, occupancy = self.rng, values == "occupancy"
        made = {"values": values, "default": states[self.chance(0.2)]}
        groups = rng.choice([["mon-fri", "sat", "sun"], ["mon-sun"], ["sat-tue", "wed", "thu"], ["mon", "wed-fri"]])
        made["week"] = {days: self.plan(occupancy, states) for days in groups if self.chance(0.85)}
        exceptions = []
        for _ in range(rng.randrange(4)):
            on = rng.choice(["calendar-0", "calendar-1", "calendar-2", str(rng.choice(self.days)), self.entry()])
            exception = {"on": on, rng.choice(["hours", "also"]): self.plan(occupancy, states)}
            if self.chance(0.7):
                exception["priority"] = str(rng.choice([1, 5, 10, 10, 16]))
            exceptions.append(exception)
        if exceptions:
            made["exceptions"] = exceptions
        if self.chance(0.25):
            ends = sorted(rng.sample(self.days, 2))
            made["effective"] = rng.choice([{"from": str(ends[0]), "to": str(ends[1])}, {"from": str(ends[0])},
                                            {"to": str(ends[1])}])
        if not made["week"]:
            del made["week"]
        return made

    def plan(self, occupancy, states):
        """Windows of a day that do not overlap, often near two o'clock, where clocks change."""
        rng = self.rng
        kind = rng.randrange(8)
        if kind == 0:
            return "none"
        if kind == 1 and occupancy:
            return "all-day"
        marks = [0, 30, 60, 90, 105, 120, 150, 180, 240, 300, 417, 480, 540, 720, 780, 1020, 1050, 1320, 1380, 1440]
        marks = sorted(rng.sample(marks, 2 * rng.randint(1, 2)))
        windows = [f"{a // 60:02}:{a % 60:02}-{b // 60:02}:{b % 60:02}" for a, b in zip(marks[::2], marks[1::2])]
        if not occupancy:
            return {window: rng.choice(states) for window in windows}
        return windows[0] if len(windows) == 1 and self.chance(0.5) else windows

    # Thermostats

    def zones(self, count):
        for n in range(count):
            zone, name = {}, f"zone-{n}"
            scheduled = self.chance(0.9)
            if scheduled:
                zone["schedule"] = self.rng.choice(["schedule-0", "schedule-1", "schedule-2"])
            thermostat, differential, offset = self.thermostat()
            for mode in ["occupied", "unoccupied"] if scheduled else ["occupied"]:
                if self.chance(0.9):
                    zone[mode] = self.limits(differential, offset)
                    if self.chance(0.25):
                        self.follow(zone[mode])
            ranges = {quantity: f"{self.range(zone, quantity)} {unit}"
                      for quantity, unit in [("humidity", "%RH"), ("temperature", "°F")] if self.chance(0.3)}
            if ranges:
                thermostat["sensor-range"] = ranges
            if thermostat:
                zone["thermostat"] = thermostat
            self.job["zones"][name] = zone
            self.sensors(name, zone)

    def thermostat(self):
        """A thermostat with its differential and its second stage's offset in half degrees Fahrenheit."""
        rng, made, differential, offset = self.rng, {}, 2, 4
        if self.chance(0.7):
            differential = rng.choice([0, 1, 2, 3, 4, 6])
            made["differential"] = f"{differential / 2:g} °F"
        if self.chance(0.6):
            offset = rng.choice([0, 1, 2, 3, 4, 6])
            made["stage-2-offset"] = f"{offset / 2:g} °F"
        if self.chance(0.1):
            made["differential"], differential = "0.5 K", 2
        if self.chance(0.6):
            made["humidity-differential"] = rng.choice(["0 %RH", "2 %RH", "3.5 %RH", "5 %RH", "2 °F dew point"])
        return made, differential, offset

    def limits(self, differential, offset):
        rng, made = self.rng, {}
        heat = rng.randint(132, 150)
        # Crossed by about as much as decides whether two calls meet.
        edge = rng.choice([0, differential, differential + offset, differential + 2 * offset, 2 * differential,
                           2 * (differential + offset)])
        cool = heat - edge + rng.choice([-1, 0, 0, 1]) if self.chance(0.6) else heat + rng.randint(0, 16)
        if self.chance(0.85):
            made["heat-below"] = f"{heat / 2:g} °F" if self.chance(0.92) else f"{rng.randint(38, 48) / 2:g} °C"
        if self.chance(0.85):
            made["cool-above"] = f"{cool / 2:g} °F"
        humid = rng.randint(40, 62)
        if self.chance(0.85):
            made["dehumidify-above"] = f"{humid} %RH" if self.chance(0.8) else rng.choice(["58 °F dew point",
                                                                                           "12 °C dew point"])
        if self.chance(0.5):
            near = humid + rng.choice([-8, -5, -4, -2, 0, 1, 2, 3, 4, 5, 6, 8])
            made["humidify-below"] = f"{near} %RH" if self.chance(0.85) else rng.choice(["60 °F dew point",
                                                                                        "54 °F dew point"])
        return made

    def follow(self, limits):
        """Lets a limit follow a schedule of some values near it."""
        if not limits:
            return
        key = self.rng.choice(sorted(limits))
        number, _, unit = limits[key].partition(" ")
        values = [f"{float(number) + step:g} {unit}" for step in [0, *self.rng.sample([-6, -3, -2, -1, 1, 2, 4, 8], 2)]]
        name = f"schedule-of-values-{len(self.job['schedules'])}"
        self.job["schedules"][name] = self.course(unit, values)
        limits[key] = {"schedule": name}

    def values(self, limit):
        """What a limit is at one time or another."""
        if not isinstance(limit, dict):
            return [limit]
        schedule = self.job["schedules"][limit["schedule"]]
        plans = [*schedule.get("week", {}).values(),
                 *(exception.get("hours", exception.get("also")) for exception in schedule.get("exceptions", []))]
        return [schedule["default"], *(value for plan in plans if isinstance(plan, dict) for value in plan.values())]

    def sensors(self, name, zone):
        for quantity, units in [("humidity", "percent-relative-humidity"), ("temperature", "degrees-fahrenheit"),
                                ("dew-point", "degrees-fahrenheit")]:
            if self.chance(0.2):
                self.job["points"][f"{name}-{quantity}"] = {
                    "object": f"analog-input {len(self.job['points'])}", "units": units,
                    "range": self.range(zone, quantity), "measures": {"zone": name, "quantity": quantity}}

    def range(self, zone, quantity):
        """What a sensor reports; often it ends where a call of the zone begins, or just short of that."""
        widest, unit = {"humidity": ((0, 100), "%RH"), "temperature": ((32, 122), "°F"),
                        "dew-point": ((-10, 85), "°F dew point")}[quantity]
        ends = list(widest)
        for end, outward, keys in [(0, -1, ["heat-below", "humidify-below"]), (1, 1, ["cool-above", "dehumidify-above"])]:
            limits = [value.partition(" ") for mode in ("occupied", "unoccupied")
                      for key, limit in zone.get(mode, {}).items() if key in keys for value in self.values(limit)]
            values = [float(value) for value, _, written in limits if written == unit]
            if values and self.chance(0.6):
                ends[end] = self.rng.choice(values) + outward * self.rng.choice([0, 0, 0.5, 1, 1.5, 2, 3, 3.5, 4, 5, 6])
        low, high = ends if ends[0] < ends[1] else widest
        return f"{low:g}..{high:g}"

    # Points

    def shared_points(self):
        for n in range(24):
            self.job["points"][f"SHARED-{n}"] = self.point(None, [f"SHARED-{i}" for i in range(n)])

    def point(self, call, before):
        """A point; `call` is the call that it carries most often, `before` the points it may look at."""
        rng = self.rng
        if self.chance(0.03):
            return {"description": "driven by nothing"}
        source = self.source(call, before)
        if self.chance(0.12):
            source["inverted"] = rng.choice(["true", "true", "false"])
        if self.chance(0.07):
            source["override"] = {"value": rng.choice(["on", "off"])}
            if self.chance(0.5):
                source["override"]["priority"] = str(rng.choice([1, 8, 12, 16]))
            if self.chance(0.4):
                source["priority"] = str(rng.choice([2, 8, 10]))
        if self.chance(0.05):
            other = self.source(call, before)
            source["priority"], other["priority"] = map(str, rng.sample(range(1, 17), 2))
            return {"driven-by": [source, other]}
        return {"driven-by": source}

    def source(self, call, before):
        rng = self.rng
        if call and self.chance(0.75):
            return {"call": call, "zone": rng.choice(self.near)}
        kind = rng.randrange(10)
        if kind < 4:
            return {"schedule": rng.choice(self.switches)}
        if kind < 5:
            return {"contact": "field"}
        if kind < 6:
            return {"operator": rng.choice(["on", "off", "on-or-off"])}
        if kind < 7 and before:
            return {"point": rng.choice(before)}
        if kind < 9 and before:
            return {"logic": self.words(rng.sample(before, min(3, len(before))), [], 2)}
        return {"call": rng.choice(CALLS), "zone": rng.choice(sorted(self.job["zones"]))}

    def words(self, names, options, depth):
        """Logic over some names and options."""
        rng = self.rng
        if depth == 0 or self.chance(0.2):
            if options and self.chance(0.25):
                option, choices = rng.choice(options)
                leaf = f"{option} is {rng.choice(choices)}"
            else:
                leaf = rng.choice(names)
            return f"not {leaf}" if self.chance(0.3) else leaf
        parts = [self.words(names, options, depth - 1) for _ in range(rng.randint(2, 3))]
        joined = f" {rng.choice(['and', 'or'])} ".join(parts)
        # Now and then without parentheses, so that `and` before `or` counts.
        if self.chance(0.15):
            return joined
        return f"not ({joined})" if self.chance(0.15) else f"({joined})"

    # Units

    def unit_types(self, count):
        for n in range(count):
            self.job["unit-types"][f"type-{n}"] = self.unit_type()

    def unit_type(self):
        rng = self.rng
        count = rng.randint(3, 8)
        inputs = [name for name in ["dehumidify", *rng.sample(CALLS[:4], rng.randint(1, 4)),
                                    *rng.sample(["humidify", "fan", *SENSES], rng.randint(1, 4))]][:count]
        rng.shuffle(inputs)
        options = [(f"option-{n}", [f"choice-{n}{letter}" for letter in "abc"[:rng.randint(2, 3)]])
                   for n in range(rng.randrange(3))]
        made = {"options": {}, "inputs": {name: {"description": name} for name in inputs}, "terms": {}, "outputs": {}}
        for option, choices in options:
            made["options"][option] = {"choices": choices}
            if self.chance(0.7):
                made["options"][option]["default"] = rng.choice(choices)
        known = list(inputs)
        terms = []
        for n in range(rng.randrange(4)):
            terms.append((f"term-{n}", self.words(known, options, 2)))
            known.append(f"term-{n}")
        rng.shuffle(terms)
        made["terms"] = dict(terms)
        for n in range(rng.randint(1, 4)):
            made["outputs"][f"output-{n}"] = {"when": self.serving(rng.choice(inputs), known, options)}
            known.append(f"output-{n}")
        chosen = ["dehumidification", *rng.sample(SERVICES, rng.randrange(3))]
        made["serves"] = {}
        for service in chosen:
            asking = [name for name in verdicts_units.DEMANDS.get(service, []) if name in inputs]
            made["serves"][service] = self.serving(rng.choice(asking or inputs), known, options)
        return {key: value for key, value in made.items() if value}

    def serving(self, asking, names, options):
        """Logic that is often on when asked to be, as a unit's is."""
        if self.chance(0.3):
            return self.words(names, options, 2)
        if self.chance(0.3):
            return f"{asking} or {self.words(names, options, 1)}"
        return f"{asking} and {self.words(names, options, 2)}"

    def unit(self, name, type_name):
        rng, job = self.rng, self.job
        unit_type = job["unit-types"].get(type_name) or self.library[type_name]
        zones = sorted(job["zones"])
        own = rng.choice(zones)
        self.near = [own] * 12 + [rng.choice(zones)]
        made = {"type": type_name, "options": {}, "inputs": {}}
        if self.chance(0.92):
            made["zone"] = own
        for option, declared in unit_type.get("options", {}).items():
            if self.chance(0.6):
                made["options"][option] = rng.choice(declared["choices"])
        inputs = list(unit_type["inputs"])
        points = []
        for place, wired in enumerate(inputs):
            kind = rng.random()
            if kind < 0.04:
                made["inputs"][wired] = "not-wired"
            elif kind < 0.06:
                continue
            elif kind < 0.1:
                made["inputs"][wired] = {"tied": rng.choice(["on", "off"])}
            elif kind < 0.16 and place:
                made["inputs"][wired] = {"tied-to": rng.choice(inputs[:place])}
            elif kind < 0.26:
                made["inputs"][wired] = f"SHARED-{rng.randrange(24)}"
            else:
                point = f"{name}-{wired}".upper()
                shared = [f"SHARED-{rng.randrange(24)}" for _ in range(2)]
                job["points"][point] = self.point(wired if wired in CALLS else None, points + shared)
                points.append(point)
                made["inputs"][wired] = point
        # A jumper may also come from an input further down, as long as none comes back.
        if self.chance(0.1) and len(inputs) > 1 and not any(isinstance(w, dict) for w in made["inputs"].values()):
            made["inputs"][inputs[0]] = {"tied-to": rng.choice(inputs[1:])}
        job["units"][name] = {key: value for key, value in made.items() if value}


def _word(day, form):
    """`monday` or `march`, of a day."""
    return day.strftime(form).lower()
