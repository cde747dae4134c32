#!/usr/bin/env python3
"""Verdicts by brute force, to hold `drycall review` against: every minute of the period, every allowed state.

    brute_force.py DRYCALL [--units 500] [--seed N]

Writes random jobs (unit types, options, wiring, setpoints, schedules), works the verdicts out by plain enumeration from
its own structures, and compares them with `drycall review --form json`. Shares no code or formula with the engine: which
calls can be on together comes from walking a room temperature up and down past thermostats with hysteresis, schedules from
asking the rules minute by minute on the wall clock. Standard library only. Exit 0: no difference.
"""
import argparse, datetime as dt, itertools, json, pathlib, random, subprocess, sys, tempfile, time
from zoneinfo import ZoneInfo

CALLS = ["cool-1", "cool-2", "heat-1", "heat-2", "dehumidify", "humidify"]
DEMAND = {"dehumidification": ["dehumidify"], "humidification": ["humidify"],
          "cooling": ["cool-1", "cool-2"], "heating": ["heat-1", "heat-2"]}
# Periods with and without a clock change, each with its zone.
PERIODS = [("America/New_York", "2027-03-08", 14), ("America/New_York", "2027-11-01", 12), ("America/New_York", "2027-06-01", 9),
           ("Europe/London", "2027-03-22", 12), ("Australia/Lord_Howe", "2027-04-01", 8)]


# ------------------------------------------------------------------ logic as text and as a tree
def text(e):
    kind = e[0]
    if kind == "name":
        return e[1]
    if kind == "is":
        return f"{e[1]} is {e[2]}"
    if kind == "not":
        return f"not ({text(e[1])})" if e[1][0] not in ("name", "is") else f"not {text(e[1])}"
    return "(" + f" {kind} ".join(text(x) for x in e[1]) + ")"


def value(e, names, options):
    kind = e[0]
    if kind == "name":
        v = names[e[1]]
        return value(v, names, options) if isinstance(v, tuple) else v
    if kind == "is":
        return options[e[1]] == e[2]
    if kind == "not":
        return not value(e[1], names, options)
    return (all if kind == "and" else any)(value(x, names, options) for x in e[1])


def logic(r, names, options, depth=3):
    if depth == 0 or r.random() < 0.3:
        if options and r.random() < 0.25:
            o = r.choice(list(options))
            return ("is", o, r.choice(options[o]))
        return ("name", r.choice(names))
    if r.random() < 0.3:
        return ("not", logic(r, names, options, depth - 1))
    return (r.choice(["and", "or"]), [logic(r, names, options, depth - 1) for _ in range(r.randint(2, 3))])


# ------------------------------------------------------------------ thermostats, by walking the readings
def together(limits, differential, offset, low, high):
    """Sets of calls on one measurement that some course of readings holds on at once; all in quarter steps."""
    rules = {}                                   # call: (begins, ends, above)
    for call, (limit, above, shift) in limits.items():
        sign = 1 if above else -1
        rules[call] = (limit + sign * (shift * offset + differential), limit + sign * shift * offset, above)

    def after(on, t):
        new = set()
        for call, (begins, ends, above) in rules.items():
            beyond = t >= begins if above else t <= begins
            held = call in on and (t > ends if above else t < ends)
            if beyond or held:
                new.add(call)
        return frozenset(new)

    edges = [b for b, e, _ in rules.values()] + [e for b, e, _ in rules.values()]
    if not edges:
        return set()
    first = min(high, max(low, min(edges) - 2))   # a sensor whose range ends short of all thresholds still reads its end
    last = max(low, min(high, max(edges) + 2))
    todo = [(t, after(frozenset(), t)) for t in range(first, last + 1)]
    seen = set(todo)
    while todo:
        t, on = todo.pop()
        for step in (t - 1, t + 1):
            if first <= step <= last:
                state = (step, after(on, step))
                if state not in seen:
                    seen.add(state)
                    todo.append(state)
    return {on for _, on in seen}


class Zone:
    def __init__(self, r, name, schedule):
        self.name, self.schedule = name, schedule
        q = lambda low, high: r.randint(low * 2, high * 2) / 2                      # noqa: E731  half degrees
        self.differential, self.offset, self.humid = r.choice([0.5, 1, 1.5, 2]), r.choice([1, 1.5, 2, 3]), r.choice([2, 3, 4, 5])
        self.range_t = r.choice([None, (32, 122), (40, 90), (66, 78)])
        self.range_h = r.choice([None, (0, 100), (10, 95), (20, 58)])
        self.modes = {}
        for mode in ("occupied", "unoccupied"):
            if mode == "unoccupied" and schedule is None:
                continue
            m = {}
            if r.random() < 0.85:
                m["heat-below"] = q(60, 74)
            if r.random() < 0.85:
                near = m.get("heat-below", 70) + r.choice([-2, -1, -0.5, 0, 0.5, 1, 5, 8])
                m["cool-above"] = near if r.random() < 0.5 else q(70, 85)
            if r.random() < 0.8:
                m["dehumidify-above"] = r.randint(40, 100)
            if r.random() < 0.4:
                m["humidify-below"] = min(100, m.get("dehumidify-above", 50) + r.randint(-20, 6)) if r.random() < 0.6 else r.randint(5, 40)
            self.modes[mode] = m

    def yaml(self):
        out = [f"  {self.name}:"]
        if self.schedule:
            out.append(f"    schedule: {self.schedule}")
        for mode, m in self.modes.items():
            unit = lambda k: "%RH" if "humid" in k else "°F"                         # noqa: E731
            out.append(f"    {mode}: {{" + ", ".join(f"{k}: {v} {unit(k)}" for k, v in m.items()) + "}")
        ranges = [f"{k}: {a[0]}..{a[1]} {u}" for k, a, u in (("temperature", self.range_t, "°F"), ("humidity", self.range_h, "%RH")) if a]
        tail = ", sensor-range: {" + ", ".join(ranges) + "}" if ranges else ""
        out.append(f"    thermostat: {{differential: {self.differential} °F, stage-2-offset: {self.offset} °F, "
                   f"humidity-differential: {self.humid} %RH{tail}}}")
        return out

    def possible(self, mode):
        """Call combinations of this mode: (possible calls, pairs that can be on together)."""
        m = self.modes.get(mode, {})
        four = lambda v: round(v * 4)                                                # noqa: E731
        t, h = {}, {}
        for side, above in (("heat", False), ("cool", True)):
            limit = m.get("cool-above" if above else "heat-below")
            if limit is not None:
                t[f"{side}-1"], t[f"{side}-2"] = (four(limit), above, 0), (four(limit), above, 1)
        if "dehumidify-above" in m:
            h["dehumidify"] = (four(m["dehumidify-above"]), True, 0)
        if "humidify-below" in m:
            h["humidify"] = (four(m["humidify-below"]), False, 0)
        sets = set()
        for limits, d, o, rng in ((t, self.differential, self.offset, self.range_t), (h, self.humid, 0, self.range_h)):
            low, high = (four(rng[0]), four(rng[1])) if rng else (-10**6, 10**6)
            sets |= together(limits, four(d), four(o), low, high)
        single = {c for s in sets for c in s}
        pairs = {frozenset(p) for s in sets for p in itertools.combinations(s, 2)}
        return single, pairs

    def allows(self, mode, on):
        if mode not in self._cache:
            self._cache[mode] = self.possible(mode)
        single, pairs = self._cache[mode]
        if any(c in CALLS and c not in single for c in on):
            return False
        for a, b in itertools.combinations(sorted(on), 2):
            same = ("humid" in a) == ("humid" in b)
            if same and frozenset((a, b)) not in pairs:
                return False
        return True


# ------------------------------------------------------------------ schedules, minute by minute
class Schedule:
    def __init__(self, r, name, first, days):
        self.name, self.default = name, r.choice(["unoccupied"] * 4 + ["occupied"])
        self.week = {d: self.windows(r) for d in range(7) if r.random() < 0.75}
        self.effective = None
        if r.random() < 0.15:
            a = first + dt.timedelta(r.randint(0, days // 2))
            self.effective = (a, a + dt.timedelta(r.randint(1, days)))
        self.exceptions = []
        for priority in r.sample(range(1, 17), r.choice([0, 0, 1, 2, 3])):
            day = first + dt.timedelta(r.randint(0, days - 1))
            last = day + dt.timedelta(r.choice([0, 0, 1, 3]))
            self.exceptions.append((day, last, r.random() < 0.6, self.windows(r), priority))

    @staticmethod
    def windows(r):
        cuts = sorted(r.sample(range(0, 1441, 30), 2 * r.choice([0, 1, 1, 1, 2])))
        return list(zip(cuts[::2], cuts[1::2]))

    @staticmethod
    def plan(windows):
        clock = lambda m: f"{m // 60:02d}:{m % 60:02d}"                              # noqa: E731
        return "[" + ", ".join(f"{clock(a)}-{clock(b)}" for a, b in windows) + "]" if windows else "none"

    def yaml(self):
        days = ["mon", "tue", "wed", "thu", "fri", "sat", "sun"]
        out = [f"  {self.name}:", "    values: occupancy", f"    default: {self.default}"]
        if self.week:
            out += ["    week:"] + [f"      {days[d]}: {self.plan(w)}" for d, w in self.week.items()]
        if self.exceptions:
            out.append("    exceptions:")
            out += [f"      - {{on: {{from: {a}, to: {b}}}, {'hours' if hard else 'also'}: {self.plan(w)}, priority: {p}}}"
                    for a, b, hard, w, p in self.exceptions]
        if self.effective:
            out.append(f"    effective: {{from: {self.effective[0]}, to: {self.effective[1]}}}")
        return out

    def at(self, date, minute):
        """Whether it is occupied: the last entry at or before the minute of the first list that has one in force."""
        default = self.default == "occupied"
        if self.effective and not self.effective[0] <= date <= self.effective[1]:
            return default
        lists = []
        for a, b, hard, windows, priority in sorted(self.exceptions, key=lambda e: e[4]):
            if a <= date <= b:
                entries = [(0, False)] if hard else []
                for start, end in windows:
                    entries += [(start, True), (end, False if hard else None)]
                lists.append(entries)
        lists.append([x for start, end in self.week.get(date.weekday(), []) for x in ((start, True), (end, False))])
        for entries in lists:
            force = None
            for when, v in entries:
                if when <= minute:
                    force = v
            if force is not None:
                return force
        return default


# ------------------------------------------------------------------ units
class Unit:
    def __init__(self, r, n, zone, schedules):
        self.n, self.zone, self.lines, self.points = n, zone, [], {}
        names = r.sample(CALLS, r.randint(1, 4)) + (["occupied"] if r.random() < 0.8 else []) + r.sample(["proof", "smoke", "fan-switch"], r.randint(0, 2))
        if "dehumidify" not in names and r.random() < 0.8:
            names.append("dehumidify")
        self.inputs = names
        self.options = {f"option-{i}": ["this", "that", "other"][: r.randint(2, 3)] for i in range(r.randint(0, 2))}
        self.chosen = {o: r.choice(c) for o, c in self.options.items()}
        known, self.named = list(names), {}
        self.terms, self.outputs = {}, {}
        for i in range(r.randint(0, 2)):
            self.terms[f"term-{i}"] = self.named[f"term-{i}"] = logic(r, known, self.options)
            known.append(f"term-{i}")
        for i in range(r.randint(1, 3)):
            self.outputs[f"output-{i}"] = self.named[f"output-{i}"] = logic(r, known, self.options)
            known.append(f"output-{i}")
        services = ["dehumidification"] + r.sample(["cooling", "heating", "ventilation", "humidification"], r.randint(0, 2))
        self.serves = {s: (logic(r, known, self.options, 2) if r.random() < 0.5 else ("name", r.choice(list(self.outputs)))) for s in services}
        self.wiring = {}
        for i, name in enumerate(names):
            self.wiring[name] = self.wire(r, name, names[:i], schedules)

    def wire(self, r, name, before, schedules):
        k = r.random()
        if k < 0.06:
            return ("not-wired",)
        if k < 0.10:
            return ("absent",)
        if k < 0.16:
            return ("tied", r.random() < 0.5)
        if k < 0.24 and before:
            return ("tied-to", r.choice(before))
        return ("point", self.point(r, name, schedules, 0))

    def point(self, r, name, schedules, depth):
        p = f"U{self.n}-P{len(self.points)}"
        self.points[p] = None
        k = r.random()
        if name in CALLS and k < 0.7:
            source = ("call", name if r.random() < 0.9 else r.choice(CALLS))
        elif k < 0.35 or name == "occupied" and k < 0.75:
            source = ("schedule", r.choice(schedules).name)
        elif k < 0.5:
            source = ("contact",)
        elif k < 0.6:
            source = ("operator", r.choice(["on", "off", "either"]))
        elif k < 0.78 and depth < 3:
            source = ("point", self.point(r, name, schedules, depth + 1))
        elif k < 0.93 and depth < 2:
            parts = [self.point(r, name, schedules, depth + 2) for _ in range(r.randint(1, 3))]
            source = ("logic", logic(r, parts, {}, 2))
        else:
            source = ("undriven",)
        priorities = r.sample(range(1, 17), 2)
        pin = (r.random() < 0.5, priorities[1]) if r.random() < 0.08 else None
        self.points[p] = (source, r.random() < 0.15, priorities[0] if pin else 16, pin)
        return p

    def yaml(self):
        ty = [f"  type-{self.n}:"]
        if self.options:
            ty += ["    options:"] + [f"      {o}: {{choices: [{', '.join(c)}]}}" for o, c in self.options.items()]
        ty += ["    inputs:"] + [f"      {i}: {{}}" for i in self.inputs]
        if self.terms:
            ty += ["    terms:"] + [f"      {t}: {text(e)}" for t, e in self.terms.items()]
        ty += ["    outputs:"] + [f"      {o}: {{when: {text(e)}}}" for o, e in self.outputs.items()]
        ty += ["    serves:"] + [f"      {s}: {text(e)}" for s, e in self.serves.items()]
        un = [f"  U{self.n}:", f"    type: type-{self.n}", f"    zone: {self.zone.name}"]
        if self.chosen:
            un.append("    options: {" + ", ".join(f"{o}: {c}" for o, c in self.chosen.items()) + "}")
        wired = {"not-wired": lambda w: "not-wired", "tied": lambda w: f"{{tied: {'on' if w[1] else 'off'}}}",
                 "tied-to": lambda w: f"{{tied-to: {w[1]}}}", "point": lambda w: w[1]}
        rows = [f"      {i}: {wired[w[0]](w)}" for i, w in self.wiring.items() if w[0] != "absent"]
        un += ["    inputs:"] + rows if rows else []
        po = []
        for p, (source, inverted, priority, pin) in self.points.items():
            s = {"call": lambda s: f"call: {s[1]}, zone: {self.zone.name}", "schedule": lambda s: f"schedule: {s[1]}",
                 "contact": lambda s: "contact: field", "operator": lambda s: f"operator: {s[1]}",
                 "point": lambda s: f"point: {s[1]}", "logic": lambda s: f'logic: "{text(s[1])}"'}.get(source[0])
            if s is None:
                po.append(f"  {p}: {{text: nothing drives {p}}}")
                continue
            more = ", inverted: true" if inverted else ""
            more += f", priority: {priority}" if pin else ""
            more += f", override: {{value: {'on' if pin[0] else 'off'}, priority: {pin[1]}}}" if pin else ""
            po.append(f"  {p}: {{text: point {p}, driven-by: {{{s(source)}{more}}}}}")
        return ty, un, po

    def free(self):
        found = []
        for p, (source, _, priority, pin) in self.points.items():
            if source[0] == "call":
                found.append(("call", source[1]))
            elif source[0] == "contact" or source == ("operator", "either"):
                found.append(("free", p))
        return sorted(set(found))

    def reading(self, p, state, scheduled):
        source, inverted, priority, pin = self.points[p]
        if source[0] == "undriven":
            return False
        if pin and pin[1] < priority:
            return pin[0]
        kind = source[0]
        if kind == "call":
            v = state[("call", source[1])]
        elif kind == "schedule":
            v = scheduled[source[1]]
        elif kind == "contact" or source == ("operator", "either"):
            v = state[("free", p)]
        elif kind == "operator":
            v = source[1] == "on"
        elif kind == "point":
            v = self.reading(source[1], state, scheduled)
        else:
            v = value(source[1], {q: self.reading(q, state, scheduled) for q in self.points if q != p and uses(source[1], q)}, {})
        return v != inverted

    def input(self, name, state, scheduled):
        w = self.wiring[name]
        if w[0] == "tied":
            return w[1]
        if w[0] == "tied-to":
            return self.input(w[1], state, scheduled)
        return self.reading(w[1], state, scheduled) if w[0] == "point" else False

    def moment(self, mode, scheduled):
        """{service: (never, always)} over every allowed state."""
        free = self.free()
        out = {s: [True, True] for s in self.serves}
        for bits in itertools.product((False, True), repeat=len(free)):
            state = dict(zip(free, bits))
            on = {a[1] for a, v in state.items() if v and a[0] == "call"}
            named = {a[1] for a in free if a[0] == "call"}
            if any(c[-1] == "2" and c in on and c[:-1] + "1" in named and c[:-1] + "1" not in on for c in on):
                continue
            if not self.zone.allows(mode, on):
                continue
            names = {i: self.input(i, state, scheduled) for i in self.inputs}
            for service, e in self.serves.items():
                running = value(e, {**self.named, **names}, self.chosen)
                calls = [names[i] for i in DEMAND.get(service, []) if i in names]
                asked = any(calls) if calls else True
                out[service][0] &= not running
                out[service][1] &= running or not asked
        return {s: tuple(v) for s, v in out.items()}


def uses(e, q):
    return e[1] == q if e[0] == "name" else e[0] != "is" and any(uses(x, q) for x in (e[1] if isinstance(e[1], list) else [e[1]]))


# ------------------------------------------------------------------ a job, both ways
def job(r, first_unit, count):
    zone_name, first, days = r.choice(PERIODS)
    tz, first = ZoneInfo(zone_name), dt.date.fromisoformat(first)
    schedules = [Schedule(r, f"schedule-{i}", first, days) for i in range(5)]
    zones = [Zone(r, f"zone-{i}", r.choice([s.name for s in schedules] + [None])) for i in range(max(2, count // 3))]
    for z in zones:
        z._cache = {}
    units = [Unit(r, first_unit + i, r.choice(zones), schedules) for i in range(count)]
    out = ["site:", "  name: Random", f"  time-zone: {zone_name}", f"  review: {{from: {first}, days: {days}}}", "schedules:"]
    out += [l for s in schedules for l in s.yaml()] + ["zones:"] + [l for z in zones for l in z.yaml()]
    parts = [u.yaml() for u in units]
    for i, section in enumerate(("unit-types", "units", "points")):
        out += [f"{section}:"] + [l for p in parts for l in p[i]]
    start = int(dt.datetime.combine(first, dt.time(), tz).timestamp())
    end = int(dt.datetime.combine(first + dt.timedelta(days), dt.time(), tz).timestamp())
    minutes, kinds = [], {}
    for t in range(start, end, 60):
        local = dt.datetime.fromtimestamp(t, tz)
        minutes.append(tuple(s.at(local.date(), local.hour * 60 + local.minute) for s in schedules))
    expected = {}
    names = [s.name for s in schedules]
    for u in units:
        kinds = {k: u.moment("occupied" if u.zone.schedule is None or dict(zip(names, k))[u.zone.schedule] else "unoccupied", dict(zip(names, k)))
                 for k in set(minutes)}
        for service in u.serves:
            row = [kinds[m][service] for m in minutes]
            never = [x[0] for x in row]
            runs = [(k, len(list(g))) for k, g in itertools.groupby(never)]
            at, longest = 0, None
            for k, length in runs:
                if k and (longest is None or length > longest[1]):
                    longest = (at, length)
                at += length
            stamp = lambda i: "end" if start + 60 * i == end else dt.datetime.fromtimestamp(start + 60 * i, tz).strftime("%Y-%m-%dT%H:%M")  # noqa: E731
            expected[f"U{u.n}", service] = {
                "verdict": "never" if all(never) else "always" if all(x[1] and not x[0] for x in row) else "unless",
                "hours": never.count(False) / 60, "gaps": sum(1 for k, _ in runs if k),
                "longest": longest and (stamp(longest[0]), stamp(sum(longest)), longest[1] / 60)}
    return "\n".join(out) + "\n", expected, {f"U{u.n}": "\n".join(sum(u.yaml(), [])) + "\n" + "\n".join(u.zone.yaml()) for u in units}


def main():
    ap = argparse.ArgumentParser()
    ap.add_argument("drycall")
    ap.add_argument("--units", type=int, default=500)
    ap.add_argument("--seed", type=int, default=int(time.time()))
    ap.add_argument("--keep", type=pathlib.Path)
    a = ap.parse_args()
    different = compared = done = 0
    seed = a.seed
    while done < a.units:
        r, count = random.Random(seed), min(60, a.units - done)
        yaml, expected, shown = job(r, 0, count)
        with tempfile.TemporaryDirectory() as folder:
            site = pathlib.Path(folder, "site.yaml")
            site.write_text(yaml, encoding="utf-8")
            found = subprocess.run([a.drycall, "review", folder, "--form", "json"], capture_output=True)
            if found.returncode not in (0, 1):
                sys.exit(f"seed {seed}: {found.stderr.decode()}")
        review = json.loads(found.stdout)
        got = {(v["unit"], v["service"]): v for v in review["verdicts"]}
        for key, want in expected.items():
            v = got.get(key)
            gap = v and v["longest-gap"]
            have = v and {"verdict": v["verdict"], "hours": v["hours"], "gaps": v["gaps"],
                          "longest": gap and (gap["from"], "end" if gap["to"].endswith("24:00") else gap["to"], gap["hours"])}
            compared += 1
            same = have and have["verdict"] == want["verdict"] and abs(have["hours"] - want["hours"]) < 1e-6 \
                and have["gaps"] == want["gaps"] and have["longest"] == want["longest"]
            if not same:
                different += 1
                if different <= 3:
                    print(f"seed {seed}: {key}\n  by brute force {want}\n  by drycall     {have}\n{shown[key[0]]}")
                    if a.keep:
                        a.keep.write_text(yaml, encoding="utf-8")
        done, seed = done + count, seed + 1
    print(f"{done} units, {compared} verdicts, {different} differences, seeds {a.seed} to {seed - 1}")
    sys.exit(different > 0)


if __name__ == "__main__":
    main()
