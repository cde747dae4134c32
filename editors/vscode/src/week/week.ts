// A unit's week as `drycall.week` tells it (format 1), and what to say of its parts.

import type { Location, Mode, Verdict, Week, WeekDay as Day, WeekInterval as Interval, WeekState as State } from "./sheet";

export type { Day, Interval, Location, Mode, State, Verdict, Week };

/** One bar of a lane: a stretch of a day in which one thing does not change. */
export interface Bar {
  after: number;
  minutes: number;
  from: string;
  to: string;
  /** What is drawn: a mode, a verdict, or that nothing is known. */
  look: Mode | Verdict | "unknown";
  /** A word or two, for the bar itself. */
  caption: string;
  /** The whole of it. */
  words: string;
  state: State | undefined;
  cause: Location | null;
  mode: Mode | null;
}

/** The bars of one lane of a day: lane 0 is occupancy, the others are the services in order. */
export function bars(week: Week, day: Day, lane: number): Bar[] {
  const all = day.intervals.map((interval) => (lane === 0 ? occupancy(interval) : service(week, interval, lane - 1)));
  return all.reduce<Bar[]>((joined, bar) => {
    const last = joined.at(-1);
    if (last && same(last, bar)) joined[joined.length - 1] = { ...last, minutes: last.minutes + bar.minutes, to: bar.to };
    else joined.push(bar);
    return joined;
  }, []);
}

function occupancy({ after, minutes, from, to, mode, by }: Interval): Bar {
  const words = mode ?? "occupancy unknown";
  return { after, minutes, from, to, look: mode ?? "unknown", caption: words, words, state: undefined, cause: by, mode };
}

function service(week: Week, interval: Interval, number: number): Bar {
  const { after, minutes, from, to, mode } = interval;
  const at = interval.services[number];
  const state = at && week.services[number]?.states[at.state];
  const [caption, words] = state ? stateWords(state) : ["unknown", "unknown"];
  return { after, minutes, from, to, look: state?.verdict ?? "unknown", caption, words, state, cause: at?.cause ?? null, mode };
}

/** A short and a whole way to say it. */
export function stateWords({ verdict, unless, because }: State): [string, string] {
  switch (verdict) {
    case "always":
      return ["can run", "can run whenever it is called for"];
    case "conditional":
      return ["can run, unless …", unless.length === 0 ? "can run, unless something blocks it" : `can run, unless blocked by ${unless.join(", or ")}`];
    case "not-proven":
      return ["not proven", "not proven: the logic is too large"];
    case "never":
      return ["cannot run", because.length === 0 ? "cannot run" : `cannot run: ${because.map(({ text }) => text).join("; ")}`];
  }
}

function same(a: Bar, b: Bar): boolean {
  return a.look === b.look && a.state === b.state && JSON.stringify(a.cause) === JSON.stringify(b.cause) && (a.state !== undefined || a.mode === b.mode);
}

/** A date some days on. */
export function daysOn(date: string, days: number): string {
  const [year = 0, month = 1, day = 1] = date.split("-").map(Number);
  return new Date(Date.UTC(year, month - 1, day + days)).toISOString().slice(0, 10);
}

/** The bar at a minute of its day, else the last. */
export function barAt(all: { after: number; minutes: number }[], minute: number): number {
  const found = all.findIndex(({ after, minutes }) => minute < after + minutes);
  return found < 0 ? all.length - 1 : found;
}
