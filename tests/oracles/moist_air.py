"""Moist air by PyPI psychrolib 2.5.0 and CoolProp 8.0.0: writes the check table to the file named (SI: °C, Pa, g/kg, kJ/kg)."""
import sys

import psychrolib as ps
from CoolProp.HumidAirProp import HAPropsSI as H

ps.SetUnitSystem(ps.SI)
STATES = [
    (-20, 0.5, 101325), (-10, 0.8, 101325), (0, 0.6, 101325), (5, 0.9, 101325), (10, 0.5, 101325),
    (12.8, 0.95, 101325), (15.6, 1.0, 101325), (20, 0.5, 101325), (21.1, 0.4, 101325), (22.2, 0.6, 101325),
    (23.9, 0.5, 101325), (23.9, 0.65, 101325), (25, 0.5, 101325), (26.7, 0.7, 101325), (29.4, 0.6, 101325),
    (32.2, 0.55, 101325), (35, 0.4, 101325), (40, 0.25, 101325), (23.9, 0.5, 83500), (30, 0.8, 95000),
]
COLUMNS = (
    "t,rh,p,W_psychrolib,W_coolprop,dewpoint_psychrolib,dewpoint_coolprop,"
    "wetbulb_psychrolib,wetbulb_coolprop,h_psychrolib,h_coolprop,v_psychrolib"
)

with open(sys.argv[1], "w", encoding="utf-8", newline="\n") as out:
    print(COLUMNS, file=out)
    for t, rh, p in STATES:
        w = ps.GetHumRatioFromRelHum(t, rh, p)
        state = ("T", t + 273.15, "P", p, "R", rh)
        results = [
            w * 1e3, H("W", *state) * 1e3,
            ps.GetTDewPointFromRelHum(t, rh), H("D", *state) - 273.15,
            ps.GetTWetBulbFromRelHum(t, rh, p), H("B", *state) - 273.15,
            ps.GetMoistAirEnthalpy(t, w) / 1e3, H("H", *state) / 1e3,
            ps.GetMoistAirVolume(t, w, p),
        ]
        print(f"{t:g},{rh:g},{p:g}," + ",".join(f"{x:.4f}" for x in results), file=out)
