// What is known of the marked bar.

import type { Place } from "./chart";
import { element, prose } from "./element";
import type { ToPanel } from "./messages";
import type { Location, Week } from "./week";

export function details(week: Week, { day, lane, bar }: Place, say: (message: ToPanel) => void): Node[] {
  const title = element("h2", {}, `${day.name}, ${bar.from} to ${bar.to}`);
  const subject = lane === "occupancy" ? (week.zone ?? week.unit) : lane;
  const nodes: Node[] = [title, element("p", {}, element("strong", {}, subject), ": ", bar.look === "never" ? "cannot run." : `${bar.words}.`)];
  if (bar.cause) {
    nodes.push(element("p", {}, link(bar.cause, bar.state ? `Look at ${place(bar.cause)} first` : `By ${place(bar.cause)}`, say)));
  }
  const because = bar.state?.because ?? [];
  if (because.length > 0) {
    nodes.push(element("p", {}, "Together these keep it off. Take any one away and it can run:"));
    nodes.push(element("ul", {}, ...because.map(({ text, at }) => element("li", {}, ...prose(text), " ", link(at, place(at), say)))));
  }
  return nodes;
}

/** A button that goes to a place: a link would want an address. */
export function link(to: Location, words: string, say: (message: ToPanel) => void): HTMLElement {
  const made = element("button", { class: "link", type: "button" }, words);
  made.addEventListener("click", () => say({ kind: "go", to }));
  return made;
}

/** `units.yaml:57`. */
export function place({ uri, range }: Location): string {
  return `${decodeURIComponent(uri.slice(uri.lastIndexOf("/") + 1))}:${range.start.line + 1}`;
}
