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
