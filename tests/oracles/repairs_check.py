"""Holds the repairs of `dehumidification-never-runs` against a catalogue of changes tried one by one, on random units.

    pip install -r requirements.txt
    python3 repairs_check.py PROGRAM [--units 200] [--seed N]

Each change of the catalogue is written into the job. If by plain enumeration the unit can then dehumidify, and a
review finds nothing that it did not find before, it is a repair, and the program must offer one. Prints the seed, and
on a difference the job and the change. Exits with 1 then.
"""
import argparse
import collections
import copy
import pathlib
import random
import re
import secrets
import subprocess
import sys
import tempfile
import time

import verdicts_check
import verdicts_jobs
import verdicts_units
import yaml

# Units of one job.
UNITS = 50
NEVER = "dehumidification-never-runs"
FINDING = re.compile(r"^\S+:\d+:\d+: (error|warning|note): (.*) \[([a-z-]+)\]$")
CALLS = {*verdicts_jobs.CALLS}


def main():
    arguments = argparse.ArgumentParser()
    arguments.add_argument("program")
    arguments.add_argument("--units", type=int, default=200)
    arguments.add_argument("--seed", type=int, default=secrets.randbelow(10**9))
    given = arguments.parse_args()
    print(f"seed {given.seed}", flush=True)
    units = found = repairable = offered = 0
    started = time.monotonic()
    while units < given.units:
        rng = random.Random(f"{given.seed}/{units}")
        job = verdicts_jobs.job(rng, min(UNITS, given.units - units))
        spare_points(rng, job)
        plant(rng, job)
        for unit in never_running(given.program, job):
            alone = with_spares(job, unit)
            repairs = offered_repairs(given.program, alone, unit)
            if repairs is None:
                continue
            found += 1
            offered += bool(repairs)
            change = repair(given.program, alone, unit)
            repairable += change is not None
            if change and not repairs:
                print(f"no repair is offered for {unit}, though this is one: {change}")
                print(yaml.dump(alone, allow_unicode=True, sort_keys=False, width=120))
                return 1
        units += len(job["units"])
    print(f"{units} units, {found} never run, {repairable} with a repair in the catalogue, {offered} with one offered, "
          f"no difference, {time.monotonic() - started:.0f} s", flush=True)
    return 0


def spare_points(rng, job):
    """Points that nothing reads, for the call and the hours of a zone: something to wire an input to."""
    for zone, written in job["zones"].items():
        if rng.random() < 0.5:
            job["points"][f"SPARE-{zone}-DEHUM"] = {"driven-by": {"call": "dehumidify", "zone": zone}}
        if rng.random() < 0.5 and "schedule" in written:
            job["points"][f"SPARE-{zone}-OCC"] = {"driven-by": {"schedule": written["schedule"]}}


def plant(rng, job):
    """A mistake at most units that can dehumidify. One that cannot, at random, has few repairs of one change."""
    verdicts = verdicts_units.Job(job)
    able = [unit for unit in job["units"]
            if verdicts.verdicts(unit).get("dehumidification", {"verdict": "never"})["verdict"] != "never"]
    for unit in able:
        written, point, kind = job["units"][unit], f"PLANTED-{unit}", rng.randrange(4)
        if kind < 2 and "zone" in written:
            written["inputs"]["dehumidify"] = point
            source = {"call": "dehumidify", "zone": written["zone"]}
            job["points"][point] = {"driven-by": {**source, "override": {"value": "off", "priority": "8"}}}
        elif kind == 2 and "occupied" in written["inputs"]:
            written["inputs"]["occupied"] = {"tied": "off"}
        else:
            for option, declared in verdicts.types[written["type"]].get("options", {}).items():
                written.setdefault("options", {})[option] = rng.choice(declared["choices"])


def with_spares(job, unit):
    """A unit with what is behind it, and the spare points of its zone."""
    alone = verdicts_check.behind(job, unit)
    spares = f"SPARE-{job['units'][unit].get('zone')}-"
    points = {name: point for name, point in job["points"].items() if name in alone["points"] or name.startswith(spares)}
    return {**alone, "points": points}


def reviewed(program, job):
    """What a review finds, each as severity, words without figures, and check."""
    lines = run(program, "review", job).splitlines()
    found = [FINDING.match(line) for line in lines]
    return collections.Counter((f[1], re.sub(r"[\d.]", "", f[2]), f[3]) for f in found if f)


def never_running(program, job):
    found = [FINDING.match(line) for line in run(program, "review", job).splitlines()]
    return [f[2].split("`")[1] for f in found if f and f[3] == NEVER]


def offered_repairs(program, job, unit):
    """The titles of the repairs offered for a unit that never runs; nothing if it does."""
    review = verdicts_check.reviewed(program, job)
    for finding in review["findings"]:
        if finding["check"] == NEVER and finding["message"].startswith(f"`{unit}` "):
            return [repair["title"] for repair in finding["repairs"]]
    return None


def run(program, command, job):
    with tempfile.TemporaryDirectory() as folder:
        text = yaml.dump(job, allow_unicode=True, sort_keys=False, width=10**6)
        pathlib.Path(folder, "site.yaml").write_text(text, encoding="utf-8")
        done = subprocess.run([program, command, folder], capture_output=True, encoding="utf-8")
        if done.returncode not in (0, 1):
            raise ValueError(f"the program exits with {done.returncode}: {done.stderr}")
        return done.stdout


def repair(program, job, unit):
    """The first change of the catalogue that is a repair, in words."""
    before, judge = reviewed(program, job), verdicts_units.Job(job)
    for words, changed in changes(job, unit):
        # No change of the catalogue is one of times or limits, which are worked out once.
        judge.job = changed
        if judge.verdicts(unit)["dehumidification"]["verdict"] == "never":
            continue
        after = reviewed(program, changed)
        gone = not any(check == NEVER and message.startswith(f"`{re.sub(r'[0-9.]', '', unit)}`")
                       for _, message, check in after)
        if gone and not after - before:
            return words
    return None


def changes(job, unit):
    """Every change of the catalogue, with the job after it."""
    written = job["units"][unit]
    types = {**verdicts_units.library(), **job.get("unit-types", {})}
    unit_type = types[written["type"]]
    for option, declared in unit_type.get("options", {}).items():
        for choice in declared["choices"]:
            yield changed(job, ("units", unit, "options", option), choice)
    inputs = unit_type["inputs"]
    # A tie to an input that is tied itself may go round in a circle.
    if {"occupied", "dehumidify"} <= inputs.keys() and "tied-to" not in written["inputs"].get("dehumidify", ""):
        yield changed(job, ("units", unit, "inputs", "occupied"), {"tied-to": "dehumidify"})
    zone = written.get("zone")
    for name in inputs:
        source = source_for(job, name, zone)
        if source is None:
            continue
        for point, declared in job["points"].items():
            if declared.get("driven-by") == source:
                yield changed(job, ("units", unit, "inputs", name), point)
        wired = written["inputs"].get(name)
        if isinstance(wired, str) and job["points"].get(wired, {}).keys() <= {"description"} and wired in job["points"]:
            yield changed(job, ("points", wired, "driven-by"), source)
    for point, declared in job["points"].items():
        driver = declared.get("driven-by")
        if isinstance(driver, dict) and "override" in driver and len(driver) > 1:
            yield changed(job, ("points", point, "driven-by"), {k: v for k, v in driver.items() if k != "override"})


def source_for(job, name, zone):
    """What an input is for, as the source of a point: a call of its zone, or its zone's hours."""
    if zone is None:
        return None
    if name in CALLS:
        return {"call": name, "zone": zone}
    schedule = job["zones"][zone].get("schedule")
    return {"schedule": schedule} if name == "occupied" and schedule else None


def changed(job, path, value):
    job = copy.deepcopy(job)
    at = job
    for key in path[:-1]:
        at = at.setdefault(key, {})
    at[path[-1]] = value
    return f"{'.'.join(path)}: {value}", job


if __name__ == "__main__":
    sys.exit(main())
