"""The verdict on every unit of a job by plain enumeration: every minute of the review period, every allowed state of
what is free in it.

Minutes are taken together only where all schedules that a unit looks at say the same. Written from the format and its
meaning alone; of the program nothing is used.
"""
import itertools
import pathlib
from fractions import Fraction

import verdicts_calls
import verdicts_time
import verdicts_words
import yaml

DEMANDS = {"dehumidification": ["dehumidify"], "humidification": ["humidify"], "cooling": ["cool-1", "cool-2"],
           "heating": ["heat-1", "heat-2"]}
CALL_WORDS = {"cool-1": "first-stage cooling call", "cool-2": "second-stage cooling call",
              "heat-1": "first-stage heating call", "heat-2": "second-stage heating call",
              "dehumidify": "dehumidify call", "humidify": "humidify call", "fan": "fan call"}
SOURCES = {"schedule", "call", "operator", "point", "logic", "contact"}
LIBRARY = pathlib.Path(__file__).resolve().parents[2] / "server/model/library"


def read(text):
    """A YAML text with every scalar as it is written: `on` is a word."""
    return yaml.load(text, yaml.CBaseLoader if hasattr(yaml, "CBaseLoader") else yaml.BaseLoader)


def library():
    """The built-in unit types."""
    texts = [path.read_text(encoding="utf-8") for path in sorted(LIBRARY.glob("*.yaml"))]
    return {name: unit_type for text in texts for name, unit_type in read(text)["unit-types"].items()}


class Job:
    """A job, with what many of its units share worked out once."""

    def __init__(self, job):
        self.job = job
        self.types = {**library(), **job.get("unit-types", {})}
        self.minutes = verdicts_time.minutes(job["site"])
        self.last_day = self.minutes[-1].date()
        self.courses, self.runs, self.calls = {}, {}, {}

    def course(self, schedule):
        if schedule not in self.courses:
            written = self.job["schedules"][schedule]
            self.courses[schedule] = verdicts_time.course(written, self.job.get("calendars", {}), self.minutes)
        return self.courses[schedule]

    def runs_of(self, schedules):
        """The period as runs of minutes in which none of some schedules changes: their values and how many minutes."""
        if schedules not in self.runs:
            courses = [self.course(schedule) for schedule in schedules]
            each = zip(*courses) if courses else itertools.repeat((), len(self.minutes))
            self.runs[schedules] = [(values, sum(1 for _ in run)) for values, run in itertools.groupby(each)]
        return self.runs[schedules]

    def allowed(self, zone, mode, says):
        """Every set of calls of a zone in a mode while the schedules say this."""
        written = self.job["zones"][zone]
        limits = {key: says[limit["schedule"]] if isinstance(limit, dict) else limit
                  for key, limit in written.get(mode, {}).items()}
        known = zone, mode, tuple(limits.items())
        if known not in self.calls:
            found = verdicts_calls.allowed({**written, mode: limits}, mode, self.sensors(zone))
            self.calls[known] = sorted(found, key=sorted)
        return self.calls[known]

    def sensors(self, zone):
        """The range of each measure: its point's, else the thermostat's."""
        found = {"humidity": (verdicts_calls.quantity("0 %RH")[0], verdicts_calls.quantity("100 %RH")[0])}
        written = self.job["zones"][zone].get("thermostat", {}).get("sensor-range", {})
        for measure, text in written.items():
            found[measure] = span(text)
        for point in self.job.get("points", {}).values():
            if point.get("measures", {}).get("zone") == zone and "range" in point:
                unit = {"degrees-fahrenheit": "°F", "degrees-celsius": "°C"}.get(point["units"], "%RH")
                found[point["measures"]["quantity"]] = span(f"{point['range']} {unit}")
        return found

    def label(self, minute):
        """The wall clock at a minute of the period; its end is the last day's."""
        if minute == len(self.minutes):
            return f"{self.last_day}T24:00"
        return self.minutes[minute].strftime("%Y-%m-%dT%H:%M")

    def verdicts(self, unit):
        return Unit(self, unit).verdicts()


def span(text):
    ends, _, unit = text.partition(" ")
    return tuple(verdicts_calls.quantity(f"{end} {unit}")[0] for end in ends.split(".."))


class Unit:
    """One unit as a Python function of what is free and what schedules say."""

    def __init__(self, job, name):
        self.job, self.unit = job, job.job["units"][name]
        self.type = job.types[self.unit["type"]]
        # What stands behind the inputs, in the order of its first use.
        self.atoms = []
        self.inputs = {name: self.input(name) for name in self.type["inputs"]}
        self.zones = sorted({atom[1] for atom in self.atoms if atom[0] == "call"})
        self.own = self.unit.get("zone")
        behind = [job.job["zones"][zone].get("schedule") for zone in [*self.zones, self.own] if zone]
        behind += [atom[1] for atom in self.atoms if atom[0] == "schedule"]
        behind += [schedule for zone in self.zones for schedule in verdicts_calls.followed(job.job["zones"][zone])]
        self.schedules = tuple(sorted({schedule for schedule in behind if schedule}))
        self.services = self.compiled()

    def input(self, name):
        """The Python expression of an input's signal."""
        wired = self.unit.get("inputs", {}).get(name, "not-wired")
        if wired == "not-wired":
            return "False"
        if isinstance(wired, str):
            return self.point(wired)
        return str(wired["tied"] == "on") if "tied" in wired else self.input(wired["tied-to"])

    def point(self, name):
        drivers = self.job.job["points"][name].get("driven-by", [])
        commands = []
        for driver in [drivers] if isinstance(drivers, dict) else drivers:
            if "override" in driver:
                pinned = driver["override"]
                commands.append((int(pinned.get("priority", 8)), 0, str(pinned["value"] == "on")))
            if driver.keys() & SOURCES:
                commands.append((int(driver.get("priority", 16)), 1, driver))
        if not commands:
            return "False"
        command = min(commands, key=lambda command: command[:2])[2]
        if isinstance(command, str):
            return command
        source = self.source(command, name)
        # What is free is told by the point's state, whichever way the relay is wired.
        free = "contact" in command or command.get("operator") == "on-or-off"
        return f"(not {source})" if command.get("inverted") == "true" and not free else source

    def source(self, driver, point):
        if "schedule" in driver:
            return self.atom("schedule", driver["schedule"])
        if "call" in driver:
            return self.atom("call", driver["zone"], driver["call"])
        if "point" in driver:
            return self.point(driver["point"])
        if "logic" in driver:
            return verdicts_words.source(verdicts_words.parse(driver["logic"]), self.point, {})
        if driver.get("operator") in {"on", "off"}:
            return str(driver["operator"] == "on")
        return self.atom("free", point)

    def atom(self, *atom):
        if atom not in self.atoms:
            self.atoms.append(atom)
        return f"a[{self.atoms.index(atom)}]"

    def compiled(self):
        """For each service a function of the atoms: whether it is called for, and whether it is on."""
        default = {name: o.get("default", o["choices"][0]) for name, o in self.type.get("options", {}).items()}
        chosen = {**default, **self.unit.get("options", {})}
        lines = {**self.type.get("terms", {}), **{name: o["when"] for name, o in self.type["outputs"].items()}}

        def named(name):
            if name in self.inputs:
                return self.inputs[name]
            return verdicts_words.source(verdicts_words.parse(lines[name]), named, chosen)

        services = {}
        for service, words in self.type.get("serves", {}).items():
            asking = [self.inputs[name] for name in DEMANDS.get(service, []) if name in self.inputs]
            # A call that an interlock holds back on its way to the unit is a call all the same.
            asking += [f"a[{i}]" for i, atom in enumerate(self.atoms)
                       if atom[0] == "call" and atom[2] in DEMANDS.get(service, []) and any(self.matters(i, text) for text in asking)]
            demand = " or ".join(asking) or "True"
            on = verdicts_words.source(verdicts_words.parse(words), named, chosen)
            services[service] = eval(f"lambda a: (bool({demand}), bool({on}))")
        return services

    def matters(self, i, text):
        """Whether an expression of the atoms changes with one of them in any state of the others."""
        if f"a[{i}]" not in text:
            return False
        on, others = eval(f"lambda a: bool({text})"), len(self.atoms) - 1
        around = itertools.product((False, True), repeat=others)
        return any(on((*a[:i], False, *a[i:])) != on((*a[:i], True, *a[i:])) for a in around)

    def states(self, values):
        """Every allowed state of the atoms while the schedules have these values."""
        on = dict(zip(self.schedules, values))
        parts = []
        for zone in self.zones:
            schedule = self.job.job["zones"][zone].get("schedule")
            mode = "occupied" if schedule is None or on[schedule] else "unoccupied"
            used = [(i, atom[2]) for i, atom in enumerate(self.atoms) if atom[:2] == ("call", zone)]
            parts.append({tuple((i, call in calls) for i, call in used) for calls in self.job.allowed(zone, mode, on)})
        for i, atom in enumerate(self.atoms):
            if atom[0] == "free":
                parts.append({((i, False),), ((i, True),)})
            elif atom[0] == "schedule":
                parts.append({((i, on[atom[1]]),)})
        for chosen in itertools.product(*parts):
            state = dict(itertools.chain(*chosen))
            yield tuple(state[i] for i in range(len(self.atoms)))

    def verdicts(self):
        runs = self.job.runs_of(self.schedules)
        kinds = {values: list(self.states(values)) for values in dict(runs)}
        return {service: self.verdict(function, runs, kinds) for service, function in self.services.items()}

    def verdict(self, function, runs, kinds):
        judged, blocks = {}, {}
        for values, states in kinds.items():
            results = [(state, *function(state)) for state in states]
            if not any(on for _, _, on in results):
                judged[values] = "never"
            elif all(on for _, asked, on in results if asked):
                judged[values] = "always"
            else:
                judged[values] = "conditional"
                blocks[values] = [(state, on) for state, asked, on in results if asked]
        all_of = set(judged.values())
        gaps, minute = [], 0
        for never, run in itertools.groupby(runs, lambda run: judged[run[0]] == "never"):
            length = sum(count for _, count in run)
            if never:
                gaps.append((length, minute))
            minute += length
        length, start = max(gaps, key=lambda gap: (gap[0], -gap[1])) if gaps else (0, 0)
        longest = {"from": self.job.label(start), "to": self.job.label(start + length), "hours": length / 60}
        return {
            "verdict": all_of.pop() if len(all_of) == 1 else "conditional",
            "hours": (len(self.job.minutes) - sum(length for length, _ in gaps)) / 60,
            "gaps": len(gaps),
            "longest-gap": longest if gaps else None,
            "unless": self.unless(blocks, {values for values, word in judged.items() if word != "never"}),
        }

    def unless(self, blocks, running):
        """What blocks: each smallest set of states of what is free, in words, with the modes it is met in."""
        found = {}
        for values, asked in blocks.items():
            for cube in smallest_blocks(asked, [i for i, a in enumerate(self.atoms) if a[0] != "schedule"]):
                found.setdefault(cube, set()).add(self.mode(values))
        both = {self.mode(values) for values in running} == {"occupied", "unoccupied"}
        worded = []
        for cube, modes in found.items():
            suffix = f" while {next(iter(modes))}" if both and len(modes) == 1 else ""
            # Nothing else is needed where the service comes on only while nobody asks for it.
            worded.append((sorted(self.words(i, on) for i, on in cube) or ["it is called for"], suffix))
        return worded

    def mode(self, values):
        schedule = self.job.job["zones"][self.own].get("schedule") if self.own else None
        on = schedule is None or dict(zip(self.schedules, values))[schedule]
        return "occupied" if on else "unoccupied"

    def words(self, i, on):
        atom = self.atoms[i]
        if atom[0] == "call":
            # Where calls of several zones meet, each says whose it is.
            whose = f" from `{atom[1]}`" if len(self.zones) > 1 else ""
            return f"{'a' if on else 'no'} {CALL_WORDS[atom[2]]}{whose}"
        return f"{atom[1]} {'on' if on else 'off'}"


def smallest_blocks(asked, free):
    """The smallest sets of states that hold a service off: met in some state in which it is asked for, off in all such
    states, and of which nothing can be left out. Every set is tried."""
    found = []
    for size in range(len(free) + 1):
        for chosen in itertools.combinations(free, size):
            for values in sorted({tuple(state[i] for i in chosen) for state, _ in asked}):
                cube = frozenset(zip(chosen, values))
                if any(smaller <= cube for smaller in found):
                    continue
                if not any(on for state, on in asked if all(state[i] == value for i, value in cube)):
                    found.append(cube)
    return found
