// What the panel and its page say to each other.

import type { Location, Pieces } from "./sheet";

/** A fact that is supposed to be otherwise: a choice of an option, or an input tied `on` or `off`. */
export interface Suppose {
  of: "option" | "input";
  name: string;
  value: string;
}

/** A proven repair, or another finding of the unit. */
export interface Line {
  words: string;
  /** Where it stands. */
  to: Location;
}

export type ToPage =
  | { kind: "unit"; units: string[]; pieces: Pieces; suppose: Suppose[] }
  | { kind: "repairs"; unit: string; repairs: string[]; also: Line[] }
  | { kind: "problem"; units: string[]; unit: string; words: string };

export type ToPanel =
  | { kind: "ready" }
  | { kind: "unit"; unit: string }
  | { kind: "service"; service: string }
  | { kind: "from"; date: string | undefined }
  | { kind: "suppose"; suppose: Suppose[] }
  | { kind: "go"; to: Location }
  | { kind: "preview"; repair: number }
  | { kind: "copy" }
  | { kind: "save" }
  | { kind: "savePage" };

/** Whether a page may open an address of this scheme: it shows places of the job and of the library, no others. */
export function mayGoTo(scheme: string): boolean {
  return scheme === "file" || scheme === "drycall-library";
}

/** A date some days on. */
export function daysOn(date: string, days: number): string {
  const [year = 0, month = 1, day = 1] = date.split("-").map(Number);
  return new Date(Date.UTC(year, month - 1, day + days)).toISOString().slice(0, 10);
}

/** What a repair does, and apart from it what that comes to: `Set … to …` and `adds 119 h a week of dehumidification`. */
export function parts(title: string): [string, string] {
  const at = title.lastIndexOf(": ");
  return at > 0 && / h\b/.test(title.slice(at)) ? [title.slice(0, at), title.slice(at + 2)] : [title, ""];
}

/** The place that an element of the page names; nothing where it names none that can be read. */
export function placeIn(text: string | undefined): Location | undefined {
  if (text === undefined) return undefined;
  try {
    const place = JSON.parse(text) as Location;
    return typeof place.uri === "string" && typeof place.range?.start?.line === "number" ? place : undefined;
  } catch {
    return undefined;
  }
}
