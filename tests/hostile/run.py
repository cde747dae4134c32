"""Folders from a stranger: each is reviewed within 2 s of processor time and 200 MiB, and is not passed.

    python3 run.py PROGRAM [CASE ...]

The folders are made here, as large as it takes to hang or fill a program that is not bounded. Prints a line a case, and
exits with 1 if one took too long or too much, ended otherwise than by its exit status, or was passed as clean.
"""

import os
import pathlib
import resource
import subprocess
import sys
import tempfile

SECONDS, MEBIBYTES = 2.0, 200
SITE = "site: {name: Example, time-zone: America/New_York, review: {from: 2027-01-01, days: 365}}\n"
CASES = {}


def case(status, says="", unsaid=None):
    """Registers what fills a folder: with what status the review may end, what it must say, and what it must not."""

    def register(fill):
        CASES[fill.__name__.replace("_", "-")] = (fill, status, says, unsaid)
        return fill

    return register


def write(folder, path, text):
    path = folder / path
    path.parent.mkdir(parents=True, exist_ok=True)
    path.write_bytes(text if isinstance(text, bytes) else text.encode())


@case({1}, "990000 more deviations")
def deviations_at_one_entry(folder):
    write(folder, "a.yaml", "points:\n" + "  # deviation: x, y\n" * 1_000_000 + "  A: {use: monitor, description: a}\n")


@case({1}, "deviation-unneeded")
def deviations_at_many_entries(folder):
    entry = "  # deviation: description-missing, y\n  A%d: {use: monitor, description: a}\n"
    write(folder, "a.yaml", "points:\n" + "".join(entry % n for n in range(50_000)))


@case({1}, "deviation-unneeded")
def deviations_beside_each_line(folder):
    lines = "".join(f"    k{n}: 1 # deviation: key-unknown, y\n" for n in range(50_000))
    write(folder, "a.yaml", "points:\n  A:\n" + lines + "  B: {} # deviation: nothing, y\n")


def bomb(levels, each=10):
    text = "devices:\n  x: &a0 [" + "1, " * each + "1]\n"
    for level in range(1, levels):
        text += f"  x{level}: &a{level} [" + f"*a{level - 1}, " * each + "1]\n"
    return text


@case({1}, "too-large")
def aliases_of_aliases(folder):
    write(folder, "a.yaml", bomb(30))


@case({1}, "too-large")
def aliases_without_end(folder):
    write(folder, "a.yaml", bomb(5) + "".join(f"  u{n}: *a4\n" for n in range(50_000)))


@case({1}, "too-large")
def aliases_in_many_files(folder):
    for n in range(500):
        write(folder, f"{n}.yaml", bomb(5, 9) + "".join(f"  u{n}-{m}: *a4\n" for m in range(300)))


@case({1}, "too-large")
def a_section_a_million_times(folder):
    write(folder, "a.yaml", "a:\n" * 1_000_000)


@case({1}, "too-large")
def a_million_sections(folder):
    write(folder, "a.yaml", "".join(f"s{n}:\n" for n in range(1_000_000)))


@case({1}, "not listed")
def a_fault_without_end(folder):
    write(folder, "a.yaml", "points:\n" + "".join(f"  P{n}: {{x: 1}}\n" for n in range(60_000)))


@case({1}, "more findings of `duplicate-name`")
def a_name_without_end(folder):
    write(folder, "a.yaml", "devices:\n" + "  A: {}\n" * 60_000)


@case({1}, "is 900 characters long")
def a_long_name(folder):
    write(folder, "a.yaml", f"points:\n  {'A' * 900}: {{use: monitor, description: a}}\n")


@case({1})
def a_name_of_a_hundred_thousand_letters(folder):
    write(folder, "a.yaml", f"points:\n  {'A' * 100_000}: {{use: monitor, description: a}}\n")


@case({1}, "out of range")
def numbers_beyond_all(folder):
    zone = "  z%d: {schedule: s, occupied: {heat-below: %s °F}}\n"
    numbers = ["1e308", "9" * 400, "-1e99", "1e99999999999"]
    write(folder, "a.yaml", "zones:\n" + "".join(zone % (n, number) for n, number in enumerate(numbers)))


def schedule(exceptions, calendars=""):
    head = "schedules:\n  s:\n    values: occupancy\n    default: unoccupied\n    week: {mon-fri: 08:00-17:00}\n"
    return calendars + head + "    exceptions:\n" + "".join(f"      - {{{exception}}}\n" for exception in exceptions)


@case({1})
def exceptions_all_year(folder):
    days = "on: {from: 2027-01-01, to: 2027-12-31}"
    write(folder, "a.yaml", schedule(f"{days}, hours: none" for _ in range(20_000)))


@case({1})
def exceptions_all_year_apart(folder):
    days = "on: {from: 2027-01-01, to: 2027-12-31}"
    hour = "%02d:%02d-%02d:%02d"
    hours = (hour % (*divmod(n % 1430, 60), *divmod(n % 1430 + 9, 60)) for n in range(20_000))
    write(folder, "a.yaml", schedule(f"{days}, also: {h}, priority: {n % 16 + 1}" for n, h in enumerate(hours)))


@case({1})
def exceptions_on_single_days(folder):
    days = (f"2027-{n % 12 + 1:02}-{n % 28 + 1:02}" for n in range(20_000))
    write(folder, "a.yaml", schedule(f"on: {day}, hours: 09:00-12:00" for day in days))


@case({1})
def exceptions_of_one_long_calendar(folder):
    days = "".join(f"    - {{date: 2027-{n % 12 + 1:02}-{n % 28 + 1:02}}}\n" for n in range(5_000))
    write(folder, "a.yaml", schedule(("on: c, hours: none" for _ in range(5_000)), f"calendars:\n  c:\n{days}"))


EVENT = "BEGIN:VEVENT\r\nUID:{0}\r\nDTSTART:20270101T000000\r\nRRULE:FREQ=MINUTELY\r\nEND:VEVENT\r\n"


def minutely(events, first=0):
    body = "".join(EVENT.format(first + n) for n in range(events))
    return f"BEGIN:VCALENDAR\r\nVERSION:2.0\r\n{body}END:VCALENDAR\r\n"


@case({1}, "too often to follow")
def a_calendar_named_twenty_times(folder):
    write(folder, "c.ics", minutely(1_000))
    imports = "".join(f"  c{n}: [{{import: c.ics}}]\n" for n in range(20))
    names = (f"on: c{n}, hours: none" for n in range(20))
    write(folder, "a.yaml", schedule(names, "calendars:\n" + imports))


@case({1}, "too often to follow")
def twenty_calendars(folder):
    for n in range(20):
        write(folder, f"c{n}.ics", minutely(1_000, n * 1_000))
    imports = "".join(f"  c{n}: [{{import: c{n}.ics}}]\n" for n in range(20))
    write(folder, "a.yaml", schedule((f"on: c{n}, hours: none" for n in range(20)), "calendars:\n" + imports))


@case({1}, "must be 1 or more")
def a_calendar_that_counts_to_nothing(folder):
    event = "BEGIN:VEVENT\r\nDTSTART:20270101\r\nRRULE:FREQ=DAILY;COUNT=0\r\nEND:VEVENT\r\n"
    write(folder, "c.ics", f"BEGIN:VCALENDAR\r\nVERSION:2.0\r\n{event}END:VCALENDAR\r\n")
    write(folder, "a.yaml", "calendars:\n  c: [{import: c.ics}]\n")


@case({0, 1}, "is not obeyed: it is no file")
def an_ignore_file_that_is_a_pipe(folder):
    os.mkfifo(folder / ".gitignore")


@case({0, 1}, "is not obeyed: it is a link")
def an_ignore_file_that_never_ends(folder):
    (folder / ".gitignore").symlink_to("/dev/zero")


@case({0, 1}, "is not obeyed")
def an_ignore_file_of_stars(folder):
    write(folder, ".gitignore", "*a" * 5_000 + "b\n" + "**/" * 100_000 + "x\n")
    write(folder, "a" * 200 + ".yaml", "points: {}\n")


@case({0, 1})
def ignore_files_that_nearly_match(folder):
    write(folder, ".gitignore", "".join("*a" * 100 + f"{n}\n" for n in range(1_500)))
    for n in range(300):
        write(folder, "a" * 100 + f"x{n:03}.yaml", "points: {}\n")


@case({2}, "no file was read")
def an_ignore_file_that_hides_all(folder):
    write(folder, ".gitignore", "*\n")
    write(folder, "a.yaml", "points:\n  A: {x: 1}\n")


@case({1})
def another_ignore_file(folder):
    write(folder, ".ignore", "*\n")
    write(folder, "a.yaml", "points:\n  A: {x: 1}\n")


@case({2}, "is a link")
def a_site_that_is_a_link(folder):
    write(folder, "real", SITE)
    (folder / "site.yaml").unlink()
    (folder / "site.yaml").symlink_to("real")


@case({2}, "not Unicode")
def a_name_that_is_no_text(folder):
    (pathlib.Path(os.fsdecode(bytes(folder) + b"/caf\xe9.yaml"))).write_text("points: {}\n")


@case({1}, "is empty")
def an_empty_site(folder):
    write(folder, "site.yaml", "")


@case({1}, "more than 64 levels deep")
def nesting(folder):
    write(folder, "a.yaml", "points: " + "[" * 1_000_000)


@case({0, 1})
def folders_in_folders(folder):
    path = folder
    for _ in range(900):
        path = path / "d"
    path.mkdir(parents=True)


def run(program, folder):
    """The exit status, what was said, and what it took: seconds of processor time, and MiB."""

    def limits():
        resource.setrlimit(resource.RLIMIT_CPU, (30, 30))
        resource.setrlimit(resource.RLIMIT_AS, (8 << 30, 8 << 30))

    with tempfile.TemporaryFile() as said:
        process = subprocess.Popen([program, "review", str(folder)], stdout=said, stderr=said, preexec_fn=limits)
        _, status, used = os.wait4(process.pid, 0)
        process.returncode = os.waitstatus_to_exitcode(status)
        said.seek(0)
        return process.returncode, said.read().decode(errors="replace"), used.ru_utime + used.ru_stime, used.ru_maxrss / 1024


def main():
    program, wanted = os.path.abspath(sys.argv[1]), sys.argv[2:]
    failed = 0
    for name, (fill, status, says, unsaid) in CASES.items():
        if wanted and name not in wanted:
            continue
        with tempfile.TemporaryDirectory() as folder:
            folder = pathlib.Path(folder)
            write(folder, "site.yaml", SITE)
            fill(folder)
            ended, said, seconds, mebibytes = run(program, folder)
        faults = []
        if ended not in status:
            faults.append(f"exit status {ended}")
        if says not in said:
            faults.append(f"does not say `{says}`")
        if unsaid and unsaid in said:
            faults.append(f"says `{unsaid}`")
        if seconds > SECONDS:
            faults.append("too long")
        if mebibytes > MEBIBYTES:
            faults.append("too much memory")
        failed += bool(faults)
        print(f"{name}: {seconds:.2f} s, {mebibytes:.0f} MiB, {len(said) >> 10} KiB said{''.join('; ' + f for f in faults)}")
        if faults and os.environ.get("SHOW"):
            print(said[:1500])
    print(f"{len(wanted or CASES) - failed} passed, {failed} failed")
    sys.exit(failed > 0)


if __name__ == "__main__":
    main()
