// What stands around the chart: which unit, which week, what the looks mean, what the limits are.

import { link, place } from "./details";
import { element } from "./element";
import type { ToPanel } from "./messages";
import { type Week, daysOn } from "./week";

type Say = (message: ToPanel) => void;

export function head(units: string[], unit: string, week: Week | undefined, say: Say): HTMLElement {
  const known = units.includes(unit) ? units : [unit, ...units];
  const picker = element("select", { id: "unit" }, ...known.map((name) => element("option", { value: name }, name)));
  picker.value = unit;
  picker.addEventListener("change", () => say({ kind: "unit", unit: picker.value }));
  const about = week ? `${week.type}${week.zone === null ? "" : ` in ${week.zone}`}, ${week["time-zone"]}` : "";
  return element("header", {},
    element("h1", {}, `Week of ${unit}`), element("p", { class: "about" }, about),
    element("div", { class: "pickers" }, element("label", {}, "Unit ", picker), ...(week ? weekPickers(week, say) : [goButton("gap", "Longest gap", undefined, say)])));
}

function weekPickers({ from, period }: Week, say: Say): Node[] {
  return [
    goButton("gap", "Longest gap", undefined, say),
    element("span", { class: "weeks" },
      goButton("earlier", "← Earlier", daysOn(from, -7), say),
      element("label", {}, "from ", datePicker(from, period, say)),
      goButton("later", "Later →", daysOn(from, 7), say)),
  ];
}

function goButton(id: string, words: string, date: string | undefined, say: Say): HTMLElement {
  const made = element("button", { id, type: "button" }, words);
  made.addEventListener("click", () => say({ kind: "from", date }));
  return made;
}

/** A date that is typed changes with each key: it counts when it is done. */
function datePicker(from: string, period: Week["period"], say: Say): HTMLElement {
  const day = element("input", { id: "from", type: "date", min: period.from, max: period.to, title: "Enter goes to the week of this day" });
  day.value = from;
  let typing = false;
  const go = () => {
    typing = false;
    if (day.value !== "" && day.value !== from && day.validity.valid) say({ kind: "from", date: day.value });
  };
  day.addEventListener("keydown", ({ key }) => {
    if (key === "Enter") go();
    else typing ||= /^([0-9]|Arrow.*|Backspace|Delete)$/.test(key);
  });
  day.addEventListener("change", () => !typing && go());
  // A redraw takes the focus too, and the field with it.
  day.addEventListener("blur", () => setTimeout(() => day.isConnected && go()));
  return day;
}

const LOOKS = [
  ["always", "can run whenever called for"],
  ["conditional", "can run, unless something blocks it"],
  ["never", "cannot run"],
  ["not-proven", "not proven"],
  ["occupied", "occupied"],
  ["unoccupied", "unoccupied"],
] as const;

export function legend(): HTMLElement {
  const items = LOOKS.map(([look, words]) => element("li", {}, element("span", { class: `bar ${look}`, "aria-hidden": "true" }), words));
  const keys = element("li", { class: "keys" }, "Arrow keys move; Enter or a click goes to the line behind it.");
  return element("ul", { class: "legend", "aria-label": "Legend" }, ...items, keys);
}

/** The limits of each mode, and the calls they make. */
export function limits(week: Week, say: Say): HTMLElement {
  const rows = week.modes.flatMap(({ mode, limits }) =>
    limits.map(({ call, limit, possible, at }) =>
      element("tr", {},
        element("td", {}, mode), element("td", {}, call), element("td", {}, limit),
        element("td", {}, possible ? "" : "never made: its sensor does not reach that far"),
        element("td", {}, at ? link(at, place(at), say) : ""))));
  if (rows.length === 0) return element("p", {}, "Its zone sets no limits, so nothing calls for it.");
  const headings = ["While", "Call", "Limit", "", "Line"].map((words) => element("th", { scope: "col" }, words));
  return element("table", { class: "limits" },
    element("caption", {}, `Calls in ${week.zone ?? "its zone"}`),
    element("thead", {}, element("tr", {}, ...headings)), element("tbody", {}, ...rows));
}
