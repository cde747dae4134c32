// Made from `server/analysis/src/sheet/week.rs` by `DRYCALL_UPDATE=1 cargo test -p reports --test typescript`.

/** A place in a file, as the protocol writes it. */
export interface Location {
  uri: string;
  range: { start: { line: number; character: number }; end: { line: number; character: number } };
}

export type Mode = "occupied" | "unoccupied";
export type Verdict = "never" | "conditional" | "always" | "not-proven";

/** Seven days of a unit. */
export interface Week {
  /** Raised when the form changes so that a reader has to know. */
  format: number;
  /** The unit. */
  unit: string;
  /** Its type. */
  type: string;
  /** The zone it serves. */
  zone: string | null;
  /** IANA name. */
  "time-zone": string;
  /** The first day shown. */
  from: string;
  /** The last day shown. */
  to: string;
  /** The review period. */
  period: WeekPeriod;
  /** The limits of its zone's calls, while occupied and while not. */
  modes: WeekMode[];
  /** Its services, with the states that each takes in the week. */
  services: WeekService[];
  /** The days. */
  days: WeekDay[];
}

/** First and last day. */
export interface WeekPeriod {
  /** The first day. */
  from: string;
  /** The last day. */
  to: string;
}

/** What the thermostat calls for in a mode. */
export interface WeekMode {
  /** The mode. */
  mode: Mode;
  /** Its limits; of one that follows a schedule each value that comes in the mode. */
  limits: WeekLimit[];
}

/** A limit of a call. */
export interface WeekLimit {
  /** The call. */
  call: string;
  /** The limit in words: `dehumidify-above 55 %RH`. */
  limit: string;
  /** Whether the call can be made. */
  possible: boolean;
  /** Where it is written. */
  at: Location | null;
}

/** A service. */
export interface WeekService {
  /** Its name. */
  service: string;
  /** What holds of it at some time of the week. */
  states: WeekState[];
}

/** What holds of a service. */
export interface WeekState {
  /** Whether it can run. */
  verdict: Verdict;
  /** The sets of circumstances that block it, in words. */
  unless: string[];
  /** What together keeps it from ever running. */
  because: WeekReason[];
}

/** A written fact. */
export interface WeekReason {
  /** What it says, in words. */
  text: string;
  /** Where it is written. */
  at: Location;
}

/** One day. */
export interface WeekDay {
  /** `2027-06-07`. */
  date: string;
  /** `Mon 2027-06-07`. */
  name: string;
  /** Its length; nothing outside the review period. */
  minutes: number | null;
  /** Changes of the clock, in words. */
  clock: string[];
  /** The stretches in which nothing changes. */
  intervals: WeekInterval[];
}

/** A stretch of a day in which nothing changes. */
export interface WeekInterval {
  /** Minutes from the start of the day. */
  after: number;
  /** How many minutes. */
  minutes: number;
  /** The start on the wall clock. */
  from: string;
  /** The end on the wall clock. */
  to: string;
  /** What the zone's schedule says. */
  mode: Mode | null;
  /** The line of the schedule that makes the mode. */
  by: Location | null;
  /** For each service what holds of it. */
  services: WeekCause[];
}

/** What holds of a service in a stretch. */
export interface WeekCause {
  /** The number of its state. */
  state: number;
  /** The line to look at first, of a gap. */
  cause: Location | null;
}
