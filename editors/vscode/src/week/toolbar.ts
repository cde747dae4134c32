// Which unit, which service, which week; and what can be done with the drawing.

import { element } from "./element";
import { type ToPanel, daysOn } from "./messages";
import type { Pieces } from "./sheet";

type Say = (message: ToPanel) => void;

export function toolbar(units: string[], unit: string, pieces: Pieces | undefined, say: Say): Node[] {
  const known = units.includes(unit) ? units : [unit, ...units];
  const nodes: Node[] = [picker("unit", "Unit", known, unit, (unit) => say({ kind: "unit", unit }))];
  if (pieces === undefined) return nodes;
  if (pieces.services.length > 1) {
    nodes.push(picker("service", "Service", pieces.services, pieces.service, (service) => say({ kind: "service", service })));
  }
  const to = (id: string, words: string, name: string, date: string | undefined) => button(id, words, name, () => say({ kind: "from", date }));
  nodes.push(
    element("span", { class: "week-picker" },
      to("earlier", "←", "A week earlier", daysOn(pieces.from, -7)),
      element("label", {}, element("span", { class: "dry-hidden" }, "Week from "), datePicker(pieces, say)),
      to("later", "→", "A week later", daysOn(pieces.from, 7))),
    to("gap", "Longest gap", "To the longest gap, else the most frequent week", undefined),
    button("copy", "Copy SVG", "Copy the drawing of the week", () => say({ kind: "copy" })),
    button("save", "Save SVG…", "Save the drawing of the week", () => say({ kind: "save" })),
    button("save-page", "Save page…", "Save this page, to print or send", () => say({ kind: "savePage" })));
  return nodes;
}

function picker(id: string, words: string, all: string[], chosen: string, choose: (one: string) => void): HTMLElement {
  const select = element("select", { id }, ...all.map((name) => element("option", { value: name }, name)));
  select.value = chosen;
  select.addEventListener("change", () => choose(select.value));
  return element("label", {}, `${words} `, select);
}

function button(id: string, words: string, name: string, press: () => void): HTMLElement {
  const made = element("button", { id, type: "button", title: name, ...(words.length === 1 ? { "aria-label": name } : {}) }, words);
  made.addEventListener("click", press);
  return made;
}

/** A date that is typed changes with each key: it counts when it is done. */
function datePicker({ from, first, last }: Pieces, say: Say): HTMLElement {
  const day = element("input", { id: "from", type: "date", min: first, max: last, title: "Enter goes to the week from this day" });
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
