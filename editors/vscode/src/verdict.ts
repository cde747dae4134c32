// What the status item says of what is found, in one line.

/** A finding by what counts: its check, its level, and where it stands. */
export interface Counted {
  check: string;
  level: "error" | "warning" | "note";
  place: string;
}

export interface Said {
  text: string;
  tooltip: string;
}

/** A unit whose dehumidification no state of its inputs turns on. */
const NEVER_DRY = "dehumidification-never-runs";

/** The answer of the job: the units that never dry, else how much is found. Where no job is, nothing is checked, and nothing is said to be right. */
export function verdict(all: Counted[], isJob: boolean): Said {
  if (all.length === 0) {
    return isJob
      ? { text: "$(check) drycall", tooltip: "Nothing is found wrong in the job." }
      : { text: "$(circle-slash) drycall: no job", tooltip: "The open folders have no site.yaml, so no job in them is checked." };
  }
  const counts = (["error", "warning", "note"] as const).map((level) => count(all.filter((one) => one.level === level).length, level));
  const tooltip = counts.join(", ");
  const never = new Set(all.filter(({ check }) => check === NEVER_DRY).map(({ place }) => place)).size;
  if (never === 0) return { text: `$(comment-unresolved) drycall: ${all.length}`, tooltip };
  const units = never === 1 ? "1 unit never dries" : `${never} units never dry`;
  return { text: `$(error) drycall: ${units}`, tooltip };
}

function count(number: number, what: string): string {
  return `${number} ${what}${number === 1 ? "" : "s"}`;
}
