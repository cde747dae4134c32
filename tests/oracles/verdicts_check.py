"""Holds `drycall review` against verdicts that are worked out by brute force, on random jobs.

    pip install -r requirements.txt
    python3 verdicts_check.py PROGRAM [--units 500] [--seed N]

Prints the seed, and on a difference the smallest job that still shows it. Exits with 1 then.
"""
import argparse
import copy
import json
import pathlib
import random
import re
import secrets
import subprocess
import sys
import tempfile
import time

import verdicts_jobs
import verdicts_units
import yaml

# Units of one job: enough that starting the program does not count.
UNITS = 250
# A job is only as good as its reading: none of these may be found in it.
UNREAD = {"name-unknown", "duplicate-name", "terminal-unknown", "syntax-error", "key-unknown", "key-missing", "wrong-value",
          "unit-of-measure-missing", "too-large", "window-ends-before-start", "import-unreadable"}
# The program lists no more blocking sets than this for one kind of moment.
MOST_SETS = 12


def main():
    arguments = argparse.ArgumentParser()
    arguments.add_argument("program")
    arguments.add_argument("--units", type=int, default=500)
    arguments.add_argument("--seed", type=int, default=secrets.randbelow(10**9))
    given = arguments.parse_args()
    print(f"seed {given.seed}", flush=True)
    units, verdicts, started, seen = 0, 0, time.monotonic(), {}
    while units < given.units:
        rng = random.Random(f"{given.seed}/{units}")
        job = verdicts_jobs.job(rng, min(UNITS, given.units - units))
        differing = differences(given.program, job, seen)
        if differing:
            print(f"{len(differing)} units differ in the job of unit {units}; the smallest:")
            print(smallest(given.program, job, differing))
            return 1
        units += len(job["units"])
        verdicts = sum(seen.values())
        kinds = ", ".join(f"{count} {word}" for word, count in sorted(seen.items()))
        print(f"{units} units, {verdicts} verdicts ({kinds}), no difference, {time.monotonic() - started:.0f} s", flush=True)
    return 0


def differences(program, job, seen=None):
    """What the program and the enumeration say differently, by unit."""
    review = reviewed(program, job)
    unread = [f for f in review["findings"] if f["check"] in UNREAD]
    if unread:
        raise ValueError(f"the job cannot be read as meant: {unread[0]}")
    said = {(v["unit"], v["service"]): v for v in review["verdicts"]}
    differing, judge = {}, verdicts_units.Job(job)
    for unit in job["units"]:
        for service, expected in judge.verdicts(unit).items():
            found = said.pop((unit, service), None)
            if seen is not None:
                seen[expected["verdict"]] = seen.get(expected["verdict"], 0) + 1
            for difference in compared(found, expected):
                differing.setdefault(unit, []).append(f"{service}: {difference}")
    for unit, service in said:
        differing.setdefault(unit, []).append(f"{service}: a verdict that nothing asks for")
    return differing


def compared(found, expected):
    if found is None:
        return ["no verdict"]
    # Right, but no unit of these jobs is too large to prove.
    if found["verdict"] == "not-proven":
        return [f"not proven, expected {expected['verdict']!r}"]
    same = [key for key in ("verdict", "gaps", "longest-gap") if found[key] == expected[key]]
    if abs(found["hours"] - expected["hours"]) < 1e-9:
        same.append("hours")
    differing = [f"{key} {found[key]!r}, expected {expected[key]!r}"
                 for key in ("verdict", "hours", "gaps", "longest-gap") if key not in same]
    return differing or compared_sets(found["unless"], expected["unless"])


def compared_sets(found, expected):
    """Blocking sets: all of them and none else, smallest first; of a list cut short only that each is one."""
    def read(text):
        for mode in (" while occupied", " while unoccupied"):
            if text.endswith(mode):
                return tuple(sorted(text.removesuffix(mode).split(" with "))), mode
        return tuple(sorted(text.split(" with "))), ""

    found = [read(text) for text in found]
    expected = [(tuple(words), mode) for words, mode in expected]
    sizes = [len(words) for words, _ in found]
    if sizes != sorted(sizes):
        return [f"blocking sets {found}, not smallest first"]
    if len(expected) <= MOST_SETS:
        return [] if sorted(found) == sorted(expected) else [f"blocked by {sorted(found)}, expected {sorted(expected)}"]
    known = {words for words, _ in expected}
    return [f"blocked by {words}, which is no smallest set" for words, _ in found if words not in known]


def reviewed(program, job):
    with tempfile.TemporaryDirectory() as folder:
        text = yaml.dump(job, allow_unicode=True, sort_keys=False, width=10**6)
        pathlib.Path(folder, "site.yaml").write_text(text, encoding="utf-8")
        review = subprocess.run([program, "review", folder, "--format", "json", "--level", "error"], capture_output=True,
                                encoding="utf-8")
        if review.returncode not in (0, 1):
            raise ValueError(f"the program exits with {review.returncode}: {review.stderr}")
        return json.loads(review.stdout)


def smallest(program, job, differing):
    """The job cut down for as long as a unit differs, as YAML, with the difference."""
    smallest_job = None
    for unit in sorted(differing)[:5]:
        alone = shrunk(behind(job, unit), lambda job: differs(program, job))
        if smallest_job is None or len(str(alone)) < len(str(smallest_job)):
            smallest_job = alone
    text = yaml.dump(smallest_job, allow_unicode=True, sort_keys=False, width=120)
    return f"{text}\n{differences(program, smallest_job)}"


def behind(job, unit):
    """A unit with what it names, and what that names in turn."""
    kept, new = set(), {unit}
    while new:
        kept |= new
        entries = [entry for section in job.values() for name, entry in section.items() if name in kept]
        named = {word for entry in entries for word in re.findall(r"[^\s()]+", " ".join(texts(entry)))}
        named |= {name for name, point in job["points"].items() if point.get("measures", {}).get("zone") in kept}
        new = named & {name for section in job.values() for name in section} - kept
    sections = {key: {name: entry for name, entry in section.items() if name in kept} for key, section in job.items()}
    return {**sections, "site": job["site"]}


def texts(node):
    if isinstance(node, str):
        return [node]
    return [text for part in (node.values() if isinstance(node, dict) else node) for text in texts(part)]


def differs(program, job):
    try:
        return bool(differences(program, job))
    except (ValueError, KeyError, IndexError, TypeError, AttributeError):
        # What is left is no job any more.
        return False


def shrunk(job, fails):
    """A job with everything left out, whole sections first, without which it still fails."""
    again = True
    while again:
        again = False
        for path in paths(job):
            less = without(job, path)
            if less is not None and fails(less):
                job, again = less, True
    return job


def paths(node, path=()):
    """Where every part of a job is, the large before what they hold."""
    keys = list(node) if isinstance(node, dict) else range(len(node) - 1, -1, -1) if isinstance(node, list) else []
    for key in keys:
        yield (*path, key)
    for key in keys:
        yield from paths(node[key], (*path, key))


def without(job, path):
    job = copy.deepcopy(job)
    at = job
    try:
        for key in path[:-1]:
            at = at[key]
        del at[path[-1]]
    except (KeyError, IndexError, TypeError):
        return None
    return job


if __name__ == "__main__":
    sys.exit(main())
