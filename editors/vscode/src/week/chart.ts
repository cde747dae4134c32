// Seven days, each with a lane for occupancy and one for each service; a grid to the keyboard.

import { element } from "./element";
import { type Bar, type Day, type Location, type Week, barAt, bars } from "./week";

const HOURS = [0, 3, 6, 9, 12, 15, 18, 21, 24];
const DAY = 1440;

/** A place that another week has too: which of its days, which lane, and the minute of the day. */
export interface Position {
  day: number;
  lane: string;
  minute: number;
}

interface Row {
  /** Which of the week's days. */
  number: number;
  day: Day;
  lane: string;
  bars: Bar[];
  cells: HTMLElement[];
}

export class Chart {
  readonly root: HTMLElement;
  private readonly rows: Row[] = [];
  /** What is marked: the row counted over all days, and the minute of its day. */
  private at = { row: 0, minute: 0 };
  private marked: HTMLElement | undefined;

  constructor(week: Week, private readonly look: (bar: Place) => void, private readonly go: (to: Location) => void) {
    // A day may be 25 hours long.
    const longest = Math.max(DAY, ...week.days.map(({ minutes }) => minutes ?? 0));
    const days = week.days.map((day, number) => this.day(week, day, number, longest));
    this.root = element("div", { class: "chart", role: "grid", "aria-label": `Week of ${week.unit} from ${week.from} to ${week.to}` }, scale(longest), ...days);
    this.root.addEventListener("keydown", (event) => this.key(event));
  }

  get position(): Position | undefined {
    const row = this.rows[this.at.row];
    return row && { day: row.number, lane: row.lane, minute: this.at.minute };
  }

  get focused(): boolean {
    return this.marked !== undefined && this.marked === document.activeElement;
  }

  /** Marks a bar: the one that was marked before if there still is one, else the first gap. */
  place(before: Position | undefined, focus: boolean): void {
    const row = this.rows.findIndex(({ bars }) => bars.some(({ look }) => look === "never"));
    const minute = this.rows[row]?.bars.find(({ look }) => look === "never")?.after ?? 0;
    const again = before ? this.rows.findIndex(({ number, lane }) => number === before.day && lane === before.lane) : -1;
    if (before && again >= 0) this.mark({ row: again, minute: before.minute }, focus, false);
    else this.mark({ row: Math.max(row, 0), minute }, focus, false);
  }

  private day(week: Week, day: Day, number: number, longest: number): HTMLElement {
    const lanes = ["occupancy", ...week.services.map(({ service }) => service)];
    const known = day.minutes === null ? [] : lanes;
    const rows = known.map((lane, i) => this.lane({ number, day, lane, bars: bars(week, day, i), cells: [] }, longest));
    const notes = day.minutes === null ? ["outside the review period"] : day.clock;
    const name = element("div", { class: "day-name", "aria-hidden": "true" }, day.name, ...notes.map((note) => element("span", { class: "note" }, note)));
    return element("div", { class: "day", role: "rowgroup", "aria-label": [day.name, ...notes].join(", ") }, name, ...rows);
  }

  private lane(row: Row, longest: number): HTMLElement {
    const { lane, bars } = row;
    const number = this.rows.push(row) - 1;
    const track = element("div", { class: lane === "occupancy" ? "track occupancy" : "track", role: "presentation" });
    row.cells = bars.map((bar) => {
      const cell = element("div", { class: `bar ${bar.look}${bar.cause ? " leads" : ""}`, role: "gridcell", tabindex: "-1", "aria-label": label(row, bar), title: `${bar.from} to ${bar.to}: ${bar.caption}` });
      cell.append(element("span", { "aria-hidden": "true" }, bar.caption));
      // Set by script: the page's policy allows no style in markup.
      cell.style.left = `${(100 * bar.after) / longest}%`;
      cell.style.width = `${(100 * bar.minutes) / longest}%`;
      cell.addEventListener("click", () => {
        this.mark({ row: number, minute: bar.after }, true);
        if (bar.cause) this.go(bar.cause);
      });
      return cell;
    });
    track.append(...row.cells);
    return element("div", { class: "lane", role: "row" }, element("div", { class: "lane-name", role: "rowheader" }, lane), track);
  }

  private mark(position: { row: number; minute: number }, focus: boolean, scroll = true): void {
    const row = this.rows[position.row];
    const number = row ? barAt(row.bars, position.minute) : -1;
    const [bar, cell] = [row?.bars[number], row?.cells[number]];
    // There is nothing beyond the edges.
    if (!row || !bar || !cell) return;
    if (this.marked) {
      this.marked.tabIndex = -1;
      this.marked.classList.remove("marked");
    }
    cell.tabIndex = 0;
    cell.classList.add("marked");
    [this.marked, this.at] = [cell, position];
    if (focus) cell.focus({ preventScroll: !scroll });
    this.look({ day: row.day, lane: row.lane, bar });
  }

  private key(event: KeyboardEvent): void {
    const { row, minute } = this.at;
    const all = this.rows[row]?.bars ?? [];
    const number = barAt(all, minute);
    const bar = all[number];
    const to = (row: number, minute: number) => this.mark({ row, minute }, true);
    const start = (next: number) => all[next] && to(row, all[next].after);
    const lane = this.rows[row]?.lane;
    const before = this.rows.findLastIndex((other, i) => i < row && other.lane === lane);
    const after = this.rows.findIndex((other, i) => i > row && other.lane === lane);
    switch (event.key) {
      case "ArrowLeft": start(number - 1); break;
      case "ArrowRight": start(number + 1); break;
      case "ArrowUp": to(row - 1, minute); break;
      case "ArrowDown": to(row + 1, minute); break;
      case "PageUp": to(before, minute); break;
      case "PageDown": to(after, minute); break;
      case "Home": start(0); break;
      case "End": start(all.length - 1); break;
      case "Enter": case " ": if (bar?.cause) this.go(bar.cause); break;
      default: return;
    }
    event.preventDefault();
  }
}

/** A bar and what it is of. */
export interface Place {
  day: Day;
  lane: string;
  bar: Bar;
}

function label({ day, lane }: Row, bar: Bar): string {
  const words = `${day.name}, ${lane}, ${bar.from} to ${bar.to}: ${bar.words.replaceAll("`", "")}`;
  return bar.cause ? `${words}. Enter goes to line ${bar.cause.range.start.line + 1}.` : words;
}

function scale(longest: number): HTMLElement {
  const hours = HOURS.map((hour) => {
    const mark = element("span", {}, String(hour));
    mark.style.left = `${(100 * hour * 60) / longest}%`;
    return mark;
  });
  return element("div", { class: "scale", "aria-hidden": "true" }, element("div", { class: "hours" }, ...hours));
}
