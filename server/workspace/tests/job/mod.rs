//! A small job in several files, and what people and cats do to it.

/// The files of the job, by path.
pub(crate) const FILES: &[(&str, &str)] = &[
    (
        "site.yaml",
        "site:\n  name: Saltmarsh Records Centre 𝄞\n  time-zone: America/New_York\n  review: {from: 2027-01-01, days: 90}\n  weather: {dry-bulb: 84 °F, dew-point: 74 °F}\n  limits: {indoor-dew-point: 58 °F}\n  point-name: \"@*\"\n",
    ),
    (
        "schedules.yaml",
        "calendars:\r\n  closures:\r\n    - {date: 2027-01-18}\r\n    - {import: closures.ics}\r\n  none-yet: []\r\nschedules:\r\n  staff-hours:\r\n    values: occupancy\r\n    default: unoccupied\r\n    week:\r\n      mon-fri: 08:00-17:00\r\n      sat: [09:00-12:00, 13:00-16:00]\r\n    exceptions:\r\n      - {on: closures, hours: none, priority: 10}\r\n      - {on: 2027-02-06, also: 18:00-22:00}\r\n  night-hours:\r\n    values: occupancy\r\n    default: occupied\r\n    week: {mon-sun: none}\r\n",
    ),
    (
        "zones.yaml",
        "zones:\n  stacks: # the paper store, 書庫\n    schedule: staff-hours\n    occupied:   {heat-below: 68 °F, cool-above: 74 °F, dehumidify-above: 55 %RH}\n    unoccupied: {heat-below: 60 °F, cool-above: 80 °F, dehumidify-above: 58 °F dew point}\n    thermostat: {differential: 1 °F, humidity-differential: 4 %RH, sensor-range: {humidity: 0..100 %RH}}\n  annex:\n    schedule: night-hours\n    occupied: {heat-below: 66 °F, cool-above: 72 °F, dehumidify-above: 50 %RH}\nrequirements:\n  - {zone: stacks, dehumidification: always}\n  - {zone: annex, dehumidification: {gap-at-most: 12 h}}\n",
    ),
    (
        "units.yaml",
        "units:\n  HP-1:\n    type: heat-pump-with-hot-gas-reheat\n    zone: stacks\n    options: {unoccupied-dehumidification: locked-out}\n    inputs:\n      cool-1: HP1-COOL1\n      heat-1: HP1-HEAT1\n      heat-2: not-wired\n      dehumidify: HP1-DEHUM\n      # deviation: dehumidification-gap, the store is emptied every summer\n      occupied: HP1-OCC\n    outputs: {compressor: HP1-ON}\n  FAN-1:\n    type: fan-with-lockout\n    zone: annex\n    inputs: {call: {tied-to: lockout}, lockout: FIRE}\n",
    ),
    (
        "types/fan.yaml",
        "unit-types:\n  fan-with-lockout:\n    options:\n      when: {choices: [always, called], default: called}\n    inputs:\n      call: {terminal: G}\n      lockout: {description: fire alarm}\n    terms:\n      wanted: call or when is always\n    outputs:\n      fan: {when: wanted and not lockout}\n    serves: {ventilation: fan}\n    never: [fan and lockout]\n",
    ),
    (
        "points/all.yaml",
        "devices:\n  controller-1: {instance: 1201, network: 1}\npoints:\n  HP1-COOL1:  {device: controller-1, object: binary-output 1, description: Cooling call, driven-by: {call: cool-1, zone: stacks}}\n  HP1-HEAT1:  {device: controller-1, object: binary-output 2, description: Heating call, driven-by: {call: heat-1, zone: stacks}}\n  HP1-DEHUM: {device: controller-1, object: binary-output 4, description: \"Dehumidify 𝄞\", driven-by: {call: dehumidify, zone: stacks}}\n  HP1-OCC:   {device: controller-1, object: binary-output 5, description: Occupied, driven-by: {logic: HP1-SCHED and not FIRE}}\n  HP1-SCHED: {device: controller-1, object: binary-value 1, description: Schedule, driven-by: {schedule: staff-hours}}\n  HP1-ON:   {device: controller-1, object: binary-input 1, description: Status, driven-by: {contact: compressor}}\n  FIRE:      {device: controller-1, object: binary-input 2, description: Fire relay, driven-by: {contact: fire panel, inverted: true}}\n  RR-HUM:     {device: controller-1, object: analog-input 1, description: Humidity, units: percent-relative-humidity, range: 0..100, measures: {zone: stacks, quantity: humidity}}\n",
    ),
];

/// A file beside them that a calendar imports, in two states.
pub(crate) const IMPORT: (&str, [&str; 2]) = (
    "closures.ics",
    [
        "BEGIN:VCALENDAR\r\nVERSION:2.0\r\nPRODID:x\r\nBEGIN:VEVENT\r\nUID:1\r\nDTSTAMP:20270101T000000Z\r\nDTSTART;VALUE=DATE:20270215\r\nSUMMARY:Closed\r\nEND:VEVENT\r\nEND:VCALENDAR\r\n",
        "BEGIN:VCALENDAR\r\nVERSION:2.0\r\nPRODID:x\r\nBEGIN:VEVENT\r\nUID:1\r\nDTSTAMP:20270101T000000Z\r\nDTSTART;VALUE=DATE:20270301\r\nSUMMARY:Closed\r\nEND:VEVENT\r\nEND:VCALENDAR\r\n",
    ],
);

/// Paths of files that come and go.
pub(crate) const MORE: &[&str] = &["more.yaml", "points/more.yml"];

/// Words that stand in the job; one is put in place of another.
pub(crate) const WORDS: &[&str] = &[
    "HP-1",
    "FAN-1",
    "HP1-COOL1",
    "HP1-HEAT1",
    "HP1-DEHUM",
    "HP1-OCC",
    "HP1-SCHED",
    "HP1-ON",
    "FIRE",
    "RR-HUM",
    "stacks",
    "annex",
    "staff-hours",
    "night-hours",
    "closures",
    "none-yet",
    "controller-1",
    "fan-with-lockout",
    "heat-pump-with-hot-gas-reheat",
    "air-conditioner-with-hot-gas-reheat",
    "unoccupied-dehumidification",
    "occupied",
    "unoccupied",
    "allowed",
    "cool-1",
    "heat-1",
    "heat-2",
    "dehumidify",
    "lockout",
    "call",
    "wanted",
    "always",
    "called",
    "not-wired",
    "{tied: on}",
    "{tied-to: dehumidify}",
    "closures.ics",
    "gone.ics",
    "08:00-17:00",
    "17:00-08:00",
    "none",
    "all-day",
    "2027-01-18",
    "2027-02-06",
    "2026-12-24",
    "68 °F",
    "74 °F",
    "55 %RH",
    "58 °F dew point",
    "20 °C",
    "95 %RH",
    "binary-output 5",
    "binary-output 1",
    "analog-input 1",
    "1201",
    "4194303",
    "0..100",
    "100..0",
    "and",
    "or",
    "not",
    "is",
    "deviation:",
    "dehumidification-gap",
    "name-unknown",
    "America/New_York",
    "Europe/London",
    "days: 90",
    "days: 30",
    "mon-fri",
    "sat",
    "driven-by",
    "schedule",
    "𝄞",
];

/// Lines that are put in somewhere.
pub(crate) const LINES: &[&str] = &[
    "  HP1-OCC: {description: Once more, driven-by: {operator: on-or-off}}\n",
    "  HP-1: {type: heat-pump-with-hot-gas-reheat, zone: annex}\n",
    "  stacks: {occupied: {cool-above: 70 °F}}\n",
    "  closures: [{date: 2027-01-04}]\n",
    "    - {every: last monday of january}\n",
    "      - {on: closures, also: 18:00-20:00, priority: 3}\n",
    "    # deviation: input-not-wired, 𝄞 spare terminal\n",
    "  # deviation: name-unknown\n",
    "      heat-2: HP1-HEAT1\n",
    "points:\n",
    "units:\r\n",
    "schedules:\n",
    "zones: {late: {schedule: staff-hours}}\n",
    "- {zone: stacks, dehumidification: always}\n",
    "  EXTRA: &a {device: controller-1, object: binary-value 7, description: Extra, driven-by: {point: FIRE}}\n",
    "  COPY: *a\n",
    "---\n",
    "\n",
    "\r\n",
];

/// Pieces of nothing in particular.
pub(crate) const GARBAGE: &[&str] = &[
    "{", "}", "[", "]", ":", ": ", ",", "#", " #", "'", "\"", "|", ">", "&a", "*a", "!", "%", "@", "`", "\t",
    " ", "  ", "\n", "\r\n", "\r", "-", "- ", "é", "𝄞", "書", "\u{feff}", "\0", "\u{2028}", "x", "9",
];
