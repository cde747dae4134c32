"""Runs every oracle again and compares what it writes, byte for byte, with the table kept beside it.

    pip install -r requirements.txt
    python3 check.py            # compare
    python3 check.py --write    # replace the tables

An oracle is a script that writes its table to the file named by its one argument, the same on every computer.
"""
import pathlib
import subprocess
import sys
import tempfile

HERE = pathlib.Path(__file__).resolve().parent
TABLES = {
    "calendar_ics.py": "calendar_ics.jsonl",
    "clock_zoneinfo.py": "clock_zoneinfo.csv",
    "drift.py": "drift.csv",
    "logic_z3.py": "logic_z3.csv",
    "moist_air.py": "moist_air.csv",
    "schedule_bacpypes.py": "schedule_bacpypes.jsonl",
}


def written_by(script):
    """What a script writes, run in an empty folder so that nothing but itself can serve it."""
    with tempfile.TemporaryDirectory() as folder:
        subprocess.run([sys.executable, HERE / script, "table"], cwd=folder, check=True)
        return pathlib.Path(folder, "table").read_bytes()


def main():
    stale = []
    for script, table in TABLES.items():
        path, written = HERE / table, written_by(script)
        if "--write" in sys.argv[1:]:
            path.write_bytes(written)
        elif not path.exists() or path.read_bytes() != written:
            stale.append(table)
    for table in stale:
        print(f"{table} is not what its script writes; look at the difference before `check.py --write`", file=sys.stderr)
    return bool(stale)


sys.exit(main())
