#!/usr/bin/env python3
"""Measures what the budgets are about and prints the table; `run.sh` says with what (DRYCALL, PARSE_ALONE, BASELINE, CRITERION).

Every figure is the median of several runs of one invocation; ratios are between figures of the same invocation."""
import argparse
import json
import os
import pathlib
import shlex
import statistics
import subprocess
import sys
import tempfile
import time

from edits import resident_after

HERE = pathlib.Path(__file__).parent
SCHEMA = (HERE / "../../schemas/job.schema.json").resolve().as_uri()
DRYCALL = os.environ["DRYCALL"]
MIB = 1024 * 1024


def campus(folder, units, *more):
    """A job of so many units; -> its folder and the bytes of its files."""
    job = folder / f"{units}{''.join(more)}"
    subprocess.run([sys.executable, HERE / "campus.py", "--units", str(units), *more, "--out", job],
                   check=True, stdout=subprocess.DEVNULL)
    return job, sum(path.stat().st_size for path in job.rglob("*.yaml"))


def drive(command, job, file, settings=None):
    """The driver's medians for one file of a job; a name that is missing was not measured."""
    out = job / "measured.json"
    more = []
    if settings:
        (job / "settings.json").write_text(json.dumps(settings))
        more = ["--settings", str(job / "settings.json")]
    subprocess.run([sys.executable, HERE / "driver.py", "--cmd", command, "--root", job, "--file", job / file, "--no-expect",
                    "--runs", "3", "--iters", "10", "--edit-at", "^ +thermostat: .*humidity-(differential)",
                    "--hover-at", "^    (schedule): ", "--complete-at", "^    (schedule): ", "--out", out, *more],
                   check=False, stdout=subprocess.DEVNULL)
    result = json.loads(out.read_text())["results"][0]
    if "failed" in result:
        print(f"{shlex.split(command)[0]}: {result['failed']}", file=sys.stderr)
    return {**result["median"], "lines": result.get("lines"), "peak": result.get("rss_peak_MiB")}


def review(job):
    """Seconds of wall time of a whole review, and the most memory it held in MiB."""
    seconds, peak = [], 0
    for _ in range(3):
        start = time.perf_counter()
        with open(os.devnull, "w") as out:
            process = subprocess.Popen([DRYCALL, "review", str(job)], stdout=out, stderr=out)
            _, status, usage = os.wait4(process.pid, 0)
        process.returncode = os.waitstatus_to_exitcode(status)
        if process.returncode not in (0, 1):
            sys.exit(f"the review of {job.name} exits {process.returncode}")
        seconds.append(time.perf_counter() - start)
        peak = max(peak, usage.ru_maxrss / 1024)
    return statistics.median(seconds), peak


def parse_alone(job):
    """Seconds that the parser alone takes for a job's bytes."""
    runs = [subprocess.run([os.environ["PARSE_ALONE"], job], check=True, capture_output=True, text=True) for _ in range(5)]
    return statistics.median(float(run.stdout.split()[0]) for run in runs) / 1e3


def verdict():
    """Microseconds of one unit's year, cold, by the crate's own bench."""
    for file in pathlib.Path(os.environ["CRITERION"]).glob("*/new/benchmark.json"):
        if json.loads(file.read_text())["full_id"] == "one unit's year, cold":
            return json.loads(file.with_name("estimates.json").read_text())["median"]["point_estimate"] / 1e3
    sys.exit("there is no bench of one unit's year")


def row(what, figure, limit, holds):
    print(f"{what:<58} {figure:<44} {limit:<18} {'holds' if holds else 'MISSED'}", flush=True)


def main():
    options = argparse.ArgumentParser(description=__doc__)
    options.add_argument("--quick", action="store_true")
    quick = options.parse_args().quick
    with tempfile.TemporaryDirectory() as name:
        folder = pathlib.Path(name)
        print(f"{'what':<58} {'measured':<44} {'budget':<18}")

        job, _ = campus(folder, 2360, "--one-file")
        ours = drive(f"{DRYCALL} serve", job, "site.yaml")
        theirs = drive(os.environ["BASELINE"], job, "site.yaml",
                       {"yaml": {"schemas": {SCHEMA: "*.yaml"}, "validate": True, "schemaStore": {"enable": False}}})
        for key, what in (("edit_correct", "edit to correct diagnostics"), ("hover_after_edit", "hover right behind an edit"),
                          ("completion", "completion"), ("open_first", "open to diagnostics")):
            if key in ours and key in theirs:
                ratio = theirs[key] / ours[key]
                wanted = 1000 if key == "edit_correct" else 1
                row(f"{what}, one file of {ours['lines']} lines", f"{ours[key]:.2f} ms, baseline {theirs[key]:.0f} ms: {ratio:.0f} times",
                    f"{wanted} times" if wanted > 1 else "", ratio >= wanted)
        row("hover right behind an edit, against one at rest", f"{ours['hover_after_edit']:.2f} ms and {ours['hover']:.2f} ms",
            "never waits", ours["hover_after_edit"] < ours["edit_correct"])
        row("peak memory of the language server, the same file", f"{ours['peak']:.0f} MiB, baseline {theirs['peak'] or 0:.0f} MiB", "", True)

        small, _ = campus(folder, 4, "--one-file")
        one = drive(f"{DRYCALL} serve", small, "site.yaml")["edit_correct"]
        for units in (1000, 10_000):
            job, _ = campus(folder, units)
            many = drive(f"{DRYCALL} serve", job, "building-012/zones.yaml")["edit_correct"]
            row(f"the same in a job of {units:,} units, against 100 lines", f"{many:.2f} ms and {one:.2f} ms: {many / one:.2f} times",
                "1.2 times" if units == 1000 else "2 times", many <= (1.2 if units == 1000 else 2) * one)

        grown = {}
        for units in (1000, 10_000) if quick else (1000, 10_000, 100_000):
            job, size = campus(folder, units)
            seconds, peak = review(job)
            grown[units] = seconds, peak
            if units == 10_000:
                alone = parse_alone(job)
                row("review of 10,000 units, against the parser alone", f"{seconds:.2f} s and {alone:.2f} s: {seconds / alone:.1f} times", "1.5 times",
                    seconds <= 1.5 * alone)
                row("memory of the review of 10,000 units", f"{peak:.0f} MiB for {size / MIB:.1f} MiB", f"{8 * size / MIB + 20:.0f} MiB",
                    peak <= 8 * size / MIB + 20)
        most = max(grown)
        time_ratio, memory_ratio = (grown[most][i] / grown[10_000 if most > 10_000 else 1000][i] for i in (0, 1))
        row(f"growth of ten times the units, to {most:,}", f"{time_ratio:.1f} times the time, {memory_ratio:.1f} the memory ({grown[most][0]:.1f} s)",
            "linear (10)", time_ratio < 13 and memory_ratio < 13)

        counts = (100, 1000, 10_000) if quick else (1000, 10_000, 100_000)
        job, _ = campus(folder, 1000)
        held = resident_after(DRYCALL, job, "building-012/points.yaml", counts)
        row(f"memory after {', '.join(f'{n:,}' for n in counts)} edits", ", ".join(f"{held[n]:.1f}" for n in counts) + " MiB", "flat",
            held[counts[-1]] <= held[counts[0]] * 1.05 + 1)
        row("one unit's verdict over a year, cold", f"{verdict():.0f} µs", "50 µs", verdict() <= 50)


if __name__ == "__main__":
    main()
