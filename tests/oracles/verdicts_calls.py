"""What a zone's thermostat can call for, found by letting readings wander and watching which calls come on together.

A call begins one differential past its limit and ends at the limit; a second stage does both one offset further out.
No formula says which calls exclude each other: every reading on a grid that holds all thresholds is visited, up and
down by one step at a time from any start, with every set of calls that can be on there.
"""
import itertools
import math
from fractions import Fraction

TEMPERATURE, HUMIDITY, DEW_POINT = "temperature", "humidity", "dew-point"
MEASURES = {"°F": TEMPERATURE, "°C": TEMPERATURE, "K": TEMPERATURE, "%RH": HUMIDITY, "°F dew point": DEW_POINT,
            "°C dew point": DEW_POINT}
CALLS = {"heat-1": ("heat-below", 0), "heat-2": ("heat-below", 1), "cool-1": ("cool-above", 0),
         "cool-2": ("cool-above", 1), "humidify": ("humidify-below", 0), "dehumidify": ("dehumidify-above", 0)}
# Common practice, no source: what a thermostat does when nothing is written.
DEFAULTS = {"differential": "1 °F", "stage-2-offset": "2 °F", "humidity-differential": "4 %RH"}


def followed(zone):
    """The schedules that limits of a zone follow."""
    limits = [limit for mode in ("occupied", "unoccupied") for limit in zone.get(mode, {}).values()]
    return {limit["schedule"] for limit in limits if isinstance(limit, dict)}


def allowed(zone, mode, sensors):
    """Every set of calls that the thermostat of a zone can make at once in a mode; the fan's call is free.

    `sensors` has the range of each measure's sensor, both ends included, where one is known.
    """
    groups = {}
    for call, rule in rules(zone, mode).items():
        groups.setdefault(rule[0], {})[call] = rule[1:]
    together = [_subsets(_reached(group, sensors.get(measure))) for measure, group in groups.items()]
    return {frozenset().union(*sets) for sets in itertools.product(*together, [frozenset(), frozenset(["fan"])])}


def rules(zone, mode):
    """Each call with its measure, whether it is made above its limit, and the readings at which it begins and ends."""
    limits, thermostat = zone.get(mode, {}), {**DEFAULTS, **zone.get("thermostat", {})}
    found = {}
    for call, (key, stage) in CALLS.items():
        if key not in limits:
            continue
        limit, measure = quantity(limits[key])
        above = key.endswith("above")
        if measure == TEMPERATURE:
            differential = step(thermostat["differential"])
        else:
            # One of relative humidity says nothing certain past a dew point, so that there it counts as none.
            written = thermostat["humidity-differential"]
            differential = step(written) if quantity(written)[1] == measure else 0
        outward = 1 if above else -1
        ends = limit + outward * stage * step(thermostat["stage-2-offset"])
        found[call] = measure, above, ends + outward * differential, ends
    return found


def _reached(group, sensor):
    """Every set of calls on one measurement that some course of readings has on at once."""
    thresholds = {reading for _, begins, ends in group.values() for reading in (begins, ends)}
    low, high = sensor or (min(thresholds), max(thresholds))
    grain = _grain(thresholds | {low, high})
    bottom, top = min(thresholds) - 2 * grain, max(thresholds) + 2 * grain
    if sensor:
        # Readings far from every threshold differ in nothing.
        bottom, top = (max(low, min(bottom, high)), min(high, max(top, low)))
    readings = [bottom + i * grain for i in range(int((top - bottom) / grain) + 1)]

    def then(on, reading):
        now = set()
        for call, (above, begins, ends) in group.items():
            over = reading <= ends if above else reading >= ends
            begun = reading >= begins if above else reading <= begins
            if not over and (begun or call in on):
                now.add(call)
        return frozenset(now)

    seen = {(i, then(frozenset(), reading)) for i, reading in enumerate(readings)}
    new = list(seen)
    while new:
        i, on = new.pop()
        for j in (i - 1, i + 1):
            if 0 <= j < len(readings):
                state = j, then(on, readings[j])
                if state not in seen:
                    seen.add(state)
                    new.append(state)
    return {on for _, on in seen}


def _subsets(reached):
    """A thermostat need not call, but a second stage is never called without its first."""
    found = set()
    for on in reached:
        for size in range(len(on) + 1):
            found.update(map(frozenset, itertools.combinations(sorted(on), size)))
    return {on for on in found if all(call.replace("-2", "-1") in on for call in on)}


def _grain(readings):
    """Half of the coarsest step that hits all readings."""
    readings = sorted(readings)
    apart = [b - a for a, b in zip(readings, readings[1:])]
    denominator = math.lcm(*(d.denominator for d in apart)) if apart else 1
    whole = math.gcd(*(int(d * denominator) for d in apart)) if apart else 1
    return Fraction(whole or 1, denominator) / 2


def quantity(text):
    """A quantity on its scale in °C or %RH, and its measure."""
    number, _, unit = text.partition(" ")
    value = Fraction(number)
    return ((value - 32) * 5 / 9 if unit.startswith("°F") else value), MEASURES[unit]


def step(text):
    """A difference in K or %RH."""
    number, _, unit = text.partition(" ")
    return Fraction(number) * 5 / 9 if unit.startswith("°F") else Fraction(number)
