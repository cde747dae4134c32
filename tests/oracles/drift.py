"""A zone's humidity through hours of outdoor air, written to the file named (PyPI pvlib 0.16.1, psychrolib 2.5.0).

Rows are check,hour,dry_bulb,humidity_ratio (h, °C, kg/kg); what a check does not have is left empty.
  constant           a closed zone against constant outdoor air, by the exponential itself
  constant-crossing  the hour at which that zone passes the humidity ratio
  miami              a closed zone against the TMY2 file of Miami, hour by hour, from the hour of 1 July 18:00
  miami-humid        in the column `hour`: hours of that file above the humidity ratio, a 60 °F dew point at sea level
  room               two days of a room that is cooled and dried by switching once a second, in plain Euler steps
"""
import math
import os
import sys

import psychrolib as ps
import pvlib
from pvlib.iotools import read_tmy2

ps.SetUnitSystem(ps.SI)
STANDARD = 101325.0
ACH, MULTIPLIER, START = 0.3, 15, 0.0093  # air changes an hour; moisture capacitance multiplier; kg/kg
rows = []

outdoors, limit = 0.0185, 0.01104
rows.append(("constant", 61, "", outdoors + (START - outdoors) * math.exp(-61 * ACH / MULTIPLIER)))
rows.append(("constant-crossing", MULTIPLIER / ACH * math.log((outdoors - START) / (outdoors - limit)), "", limit))

file = os.path.join(os.path.dirname(pvlib.__file__), "data", "12839.tm2")  # temperatures in tenths of °C
year, _ = read_tmy2(file)
ratios = [
    ps.GetHumRatioFromTDewPoint(min(dew, dry) / 10, mbar * 100)
    for dew, dry, mbar in zip(year["DewPoint"], year["DryBulb"], year["Pressure"])
]
w, july = START, (181 * 24) + 18
for ratio in ratios[july:july + 61]:
    w = ratio + (w - ratio) * math.exp(-ACH / MULTIPLIER)
rows.append(("miami", 61, "", w))
rows.append(("miami-humid", sum(ratio > limit for ratio in ratios), "", limit))

AREA, CEILING, PEOPLE = 100.0, 3.0, 10
CONDUCTANCE, CAPACITY = 0.7 * AREA, 110000.0 * AREA  # W/K, J/K
SENSIBLE, VAPOUR = 75.0, 55.0 / 2.43e6  # of a person: W, kg/s
SUPPLY, COIL, COIL_RATIO = 6.0, 12.8, ps.GetHumRatioFromTDewPoint(12.0, STANDARD)  # /h, °C, kg/kg
LEAK, LEAK_FAN_ON = 0.3, 0.25
t, w = 24.0, 0.0095
air = AREA * CEILING / ps.GetMoistAirVolume(t, w, STANDARD)
for second in range(48 * 3600):
    hour = second // 3600
    outside = 28 + 5 * math.sin(2 * math.pi * (hour - 9) / 24)
    outside_ratio = ps.GetHumRatioFromTDewPoint(min(23.0, outside), STANDARD)
    open_hours = 8 <= hour % 24 < 17
    people = PEOPLE if open_hours else 0
    cooling = t > (24 if open_hours else 29)
    drying = not cooling and open_hours and w > ps.GetHumRatioFromRelHum(t, 0.55, STANDARD)
    leak = air * LEAK / 3600 * (LEAK_FAN_ON if cooling or drying else 1)
    supply = air * SUPPLY / 3600
    heat = (CONDUCTANCE + leak * 1006) * (outside - t) + people * SENSIBLE
    moisture = leak * (outside_ratio - w) + people * VAPOUR
    if cooling:
        heat += supply * 1006 * (COIL - t)
    if cooling or drying:
        moisture -= supply * max(w - COIL_RATIO, 0)
    t += heat / CAPACITY
    w += moisture / (air * MULTIPLIER)
    if second % 3600 == 3599:
        rows.append(("room", hour + 1, f"{t:.4f}", w))

with open(sys.argv[1], "w", encoding="utf-8", newline="\n") as out:
    print("check,hour,dry_bulb,humidity_ratio", file=out)
    for check, hour, dry_bulb, ratio in rows:
        ratio = f"{ratio:.8f}" if ratio != "" else ""
        print(f"{check},{hour:.10g},{dry_bulb},{ratio}", file=out)
