// What the panel and its page say to each other.

import type { Location, Week } from "./week";

export type ToPage =
  | { kind: "week"; units: string[]; week: Week }
  | { kind: "problem"; units: string[]; unit: string; words: string };

export type ToPanel =
  | { kind: "ready" }
  | { kind: "unit"; unit: string }
  | { kind: "from"; date: string | undefined }
  | { kind: "go"; to: Location };

/** Whether a page may open an address of this scheme: it shows places of the job and of the library, no others. */
export function mayGoTo(scheme: string): boolean {
  return scheme === "file" || scheme === "drycall-library";
}
