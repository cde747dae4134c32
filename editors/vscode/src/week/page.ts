// The page of a unit: places what the server draws, and says what is wanted.

import { Chooser } from "./chooser";
import { element, place, prose } from "./element";
import { type Suppose, type ToPage, type ToPanel, daysOn, parts, placeIn } from "./messages";
import type { Location, Pieces } from "./sheet";
import { toolbar } from "./toolbar";

declare function acquireVsCodeApi(): { postMessage(message: ToPanel): void };

const panel = acquireVsCodeApi();
const say = (message: ToPanel) => panel.postMessage(message);
const find = <E extends HTMLElement = HTMLElement>(id: string): E => document.getElementById(id) as E;

const [job, board, headline, tools] = [find("job"), find("board"), find("headline"), find("tools")];
const [week, choices, why, repairs, year, ladder] = [find("week"), find("choices"), find("why"), find("repairs"), find("year"), find("ladder")];
let shown: Pieces | undefined;

const chooser = new Chooser(week, why, (stretch) => go(stretch.dataset["go"]), (key) => {
  if (key === "Escape") find("from")?.focus();
  else if (shown && key === "PageUp") say({ kind: "from", date: daysOn(shown.from, -7) });
  else if (shown && key === "PageDown") say({ kind: "from", date: daysOn(shown.from, 7) });
  else return false;
  return true;
});

function go(text: string | undefined): void {
  const to = placeIn(text);
  if (to) say({ kind: "go", to });
}

function draw(message: ToPage): void {
  if (message.kind === "repairs") return drawRepairs(message.unit, message.repairs, message.also);
  const problem = message.kind === "problem";
  find("problem").hidden = !problem;
  find("unit-page").hidden = problem;
  // What is typed or chosen in the toolbar is drawn anew with it; the focus stays by its name.
  const active = document.activeElement?.id;
  if (message.kind === "problem") {
    find("problem").textContent = message.words;
    tools.replaceChildren(...toolbar(message.units, message.unit, undefined, say));
    shown = undefined;
    return;
  }
  const { pieces, units, suppose } = message;
  const before = shown;
  const another = before?.unit !== pieces.unit || before.service !== pieces.service;
  shown = pieces;
  const told = JSON.stringify([units, pieces.unit, pieces.service, pieces.services, pieces.from]);
  if (tools.dataset["told"] !== told) {
    tools.dataset["told"] = told;
    tools.replaceChildren(...toolbar(units, pieces.unit, pieces, say));
  }
  place(job, pieces.job);
  place(board, pieces.board);
  place(headline, pieces.headline);
  place(year, pieces.year);
  place(ladder, pieces.ladder);
  if (place(choices, pieces.choices) || another) set(suppose);
  chooser.leaving();
  const position = another || before.from !== pieces.from ? undefined : chooser.position;
  const [newWeek, newWhy] = [place(week, pieces.week), place(why, pieces.why)];
  if (newWeek || newWhy) chooser.take({ day: pieces.day, stretch: pieces.stretch }, position);
  document.body.classList.toggle("supposed", suppose.length > 0);
  if (another) {
    repairs.replaceChildren();
    if (before === undefined) find<HTMLDetailsElement>("board-fold").open = innerWidth >= 1000;
    headline.scrollIntoView({ block: "nearest" });
  }
  if (active && document.activeElement?.id !== active) document.getElementById(active)?.focus();
}

/** Switches what may be supposed otherwise to what is. */
function set(suppose: Suppose[]): void {
  for (const one of choices.querySelectorAll<HTMLInputElement | HTMLSelectElement>("[data-of]")) {
    const value = suppose.find(({ of, name }) => of === one.dataset["of"] && name === one.dataset["name"])?.value;
    if (one instanceof HTMLInputElement) one.checked = value !== undefined && value === one.dataset["value"];
    else one.value = value ?? "";
  }
}

/** What is supposed otherwise by the switches. */
function supposed(): Suppose[] {
  return [...choices.querySelectorAll<HTMLInputElement | HTMLSelectElement>("[data-of]")].flatMap((one) => {
    const value = one instanceof HTMLInputElement ? (one.checked ? one.dataset["value"] : "") : one.value;
    const [of, name] = [one.dataset["of"], one.dataset["name"]];
    return value && name && (of === "option" || of === "input") ? [{ of, name, value }] : [];
  });
}

function drawRepairs(unit: string, titles: string[], also: { words: string; to: Location }[]): void {
  if (unit !== shown?.unit) return;
  const told = JSON.stringify([unit, titles, also]);
  if (repairs.dataset["told"] === told && repairs.childElementCount > 0) return;
  repairs.dataset["told"] = told;
  const nodes: Node[] = [];
  if (titles.length > 0) {
    const items = titles.map((title, repair) => {
      const [does, effect] = parts(title);
      const preview = element("button", { type: "button", class: "preview", "aria-label": `Preview: ${title.replaceAll("`", "")}` }, "Preview…");
      preview.addEventListener("click", () => say({ kind: "preview", repair }));
      return element("li", {}, element("span", {}, ...prose(does), ...(effect === "" ? [] : [element("br"), element("b", {}, ...prose(effect))])), preview);
    });
    nodes.push(element("h4", {}, "Repairs, proven"), element("ol", { class: "repairs" }, ...items));
  }
  if (also.length > 0) {
    const items = also.map(({ words, to }) => {
      const link = element("a", { class: "dry-link", href: "#" }, `line ${to.range.start.line + 1}`);
      link.dataset["go"] = JSON.stringify(to);
      return element("li", {}, element("span", {}, ...prose(words)), link);
    });
    nodes.push(element("h4", {}, "Also found here"), element("ul", { class: "dry-facts" }, ...items));
  }
  repairs.replaceChildren(...nodes);
}

document.addEventListener("click", (event) => {
  const link = event.target instanceof Element ? event.target.closest<HTMLElement>("a") : null;
  if (link === null) return;
  event.preventDefault();
  const unit = link.dataset["unit"];
  if (unit !== undefined) say({ kind: "unit", unit });
  else go(link.dataset["go"]);
});
choices.addEventListener("change", () => say({ kind: "suppose", suppose: supposed() }));
window.addEventListener("message", ({ data }: MessageEvent<ToPage>) => draw(data));
say({ kind: "ready" });
