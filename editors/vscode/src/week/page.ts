// The page of the week view: takes a week, draws it, and says what is wanted.

import { Chart } from "./chart";
import { details } from "./details";
import { element } from "./element";
import { head, legend, limits } from "./head";
import type { ToPage, ToPanel } from "./messages";

declare function acquireVsCodeApi(): { postMessage(message: ToPanel): void };

const panel = acquireVsCodeApi();
const say = (message: ToPanel) => panel.postMessage(message);
const main = document.querySelector<HTMLElement>("#main");
let chart: Chart | undefined;

function draw(message: ToPage): void {
  // Where the reader was, so that an edit elsewhere does not take it away.
  const focus = document.activeElement?.id;
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
  if (focus) document.getElementById(focus)?.focus();
}

window.addEventListener("message", ({ data }: MessageEvent<ToPage>) => draw(data));
say({ kind: "ready" });
