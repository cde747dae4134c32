//! A small job in several files that draws no error.

pub(crate) const SITE: &str = "\
site:
  name: Saltmarsh Records Centre
  time-zone: America/New_York
  review: {from: 2027-01-01, days: 365}
";

pub(crate) const SCHEDULES: &str = "\
calendars:
  closures:
    - {date: 2027-12-25}
schedules:
  staff-hours:
    values: occupancy
    default: unoccupied
    week:
      mon-fri: 08:00-17:00
    exceptions:
      - {on: closures, hours: none}
";

pub(crate) const ZONES: &str = "\
zones:
  stacks:
    schedule: staff-hours
    occupied:   {heat-below: 68 °F, cool-above: 74 °F, dehumidify-above: 55 %RH}
    unoccupied: {heat-below: 60 °F, cool-above: 80 °F, dehumidify-above: 55 %RH}
";

pub(crate) const UNITS: &str = "\
units:
  HP-1:
    type: heat-pump-with-hot-gas-reheat
    zone: stacks
    options: {unoccupied-dehumidification: allowed}
    inputs:
      cool-1: HP1-COOL1
      heat-1: HP1-HEAT1
      heat-2: HP1-HEAT2
      dehumidify: HP1-DEHUM
      occupied: HP1-OCC
";

pub(crate) const POINTS: &str = "\
devices:
  controller-1: {instance: 1201, network: 1}
points:
  HP1-COOL1:  {device: controller-1, object: binary-output 1, description: Cooling call, driven-by: {call: cool-1, zone: stacks}}
  HP1-HEAT1:  {device: controller-1, object: binary-output 2, description: Heating call, driven-by: {call: heat-1, zone: stacks}}
  HP1-HEAT2:  {device: controller-1, object: binary-output 3, description: Second heating call, driven-by: {call: heat-2, zone: stacks}}
  HP1-DEHUM: {device: controller-1, object: binary-output 4, description: Dehumidify call, driven-by: {call: dehumidify, zone: stacks}}
  HP1-OCC:   {device: controller-1, object: binary-output 5, description: Occupied command, driven-by: {schedule: staff-hours}}
";

/// All of it, by file.
pub(crate) const FILES: [(&str, &str); 5] = [
    ("site.yaml", SITE),
    ("schedules.yaml", SCHEDULES),
    ("zones.yaml", ZONES),
    ("units.yaml", UNITS),
    ("points/all.yaml", POINTS),
];
