"""Runs every oracle again and compares what it prints, byte for byte, with the table kept beside it.

    pip install -r requirements.txt
    python3 check.py            # compare
    python3 check.py --write    # replace the tables
"""
import pathlib
import subprocess
import sys
import tempfile

HERE = pathlib.Path(__file__).resolve().parent
TABLES = {
    "calendar_ics.py": "calendar_ics.jsonl",
    "clock_zoneinfo.py": "clock_zoneinfo.csv",
    "schedule_bacpypes.py": "schedule_bacpypes.jsonl",
}


def printed_by(script):
    """What a script prints, run in an empty folder so that it can depend on nothing but itself."""
    with tempfile.TemporaryDirectory() as folder:
        return subprocess.run([sys.executable, HERE / script], cwd=folder, stdout=subprocess.PIPE, check=True).stdout


def main():
    stale = []
    for script, table in TABLES.items():
        path, printed = HERE / table, printed_by(script)
        if "--write" in sys.argv[1:]:
            path.write_bytes(printed)
        elif not path.exists() or path.read_bytes() != printed:
            stale.append(table)
    for table in stale:
        print(f"{table} is not what its script prints; look at the difference before `check.py --write`", file=sys.stderr)
    return bool(stale)


sys.exit(main())
