// The page of the week view: takes a week, draws it, and says what is wanted.

import { Chart } from "./chart";
import { details } from "./details";
import { element } from "./element";
import { head, legend, limits } from "./head";
import type { ToPage, ToPanel } from "./messages";

declare function acquireVsCodeApi(): { postMessage(message: ToPanel): void };

const panel = acquireVsCodeApi();
const say = (message: ToPanel) => {
  // What was asked for is drawn in any case.
  drawn = undefined;
  panel.postMessage(message);
};
const main = document.querySelector<HTMLElement>("#main");
let chart: Chart | undefined;
/** What is on the page. */
let drawn: string | undefined;

function draw(message: ToPage): void {
  // A hand on the mouse loses its click when what is under it is made anew.
  const told = JSON.stringify(message);
  if (told === drawn) return;
  drawn = told;
  // Where the reader was, so that an edit elsewhere does not take it away.
  const focus = focused();
  if (message.kind === "problem") {
    chart = undefined;
    main?.replaceChildren(head(message.units, message.unit, undefined, say), element("p", { class: "problem", role: "alert" }, message.words));
  } else {
    const { week, units } = message;
    const about = element("section", { class: "details", "aria-label": "What is shown at the marked time" });
    const before = chart;
    chart = new Chart(week, (bar) => about.replaceChildren(...details(week, bar, say)), (to) => say({ kind: "go", to }));
    main?.replaceChildren(head(units, week.unit, week, say), legend(), chart.root, about, limits(week, say));
    chart.place(before?.position, before?.focused ?? false);
  }
  focus?.()?.focus();
}

/** What has the focus, to be found again after a redraw: by its name, or as one of several in a row. */
function focused(): (() => HTMLElement | null | undefined) | undefined {
  const active = document.activeElement;
  if (active?.id) return () => document.getElementById(active.id);
  const group = [".details button", ".limits button"].find((group) => active?.matches(group));
  if (group === undefined) return undefined;
  const number = Array.from(document.querySelectorAll(group)).findIndex((one) => one === active);
  return () => document.querySelectorAll<HTMLElement>(group)[number] ?? document.querySelector<HTMLElement>(".bar.marked");
}

window.addEventListener("message", ({ data }: MessageEvent<ToPage>) => draw(data));
say({ kind: "ready" });
