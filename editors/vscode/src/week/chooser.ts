// The week under the keyboard and the mouse: one tab stop with one chosen stretch. The calls of its day
// stand under the day, and why it is so beside it.

/** A place that another week has too: which of its days, and the minute. */
export interface Position {
  day: number;
  minute: number;
}

/** A stretch of a day as the page has it. */
export interface Cell extends Position {
  to: number;
  stretch: number;
}

/** The cell of a day at a minute, else its last; -1 where the day has none. */
export function cellAt(cells: Cell[], { day, minute }: Position): number {
  const of = cells.map((cell, i) => ({ cell, i })).filter(({ cell }) => cell.day === day);
  return (of.find(({ cell }) => minute < cell.to) ?? of.at(-1))?.i ?? -1;
}

/** The cell that a key leads to from another; nothing where the key leads nowhere. */
export function moved(cells: Cell[], at: number, key: string): number | undefined {
  const here = cells[at];
  if (here === undefined) return undefined;
  const same = (cell: Cell) => cell.day === here.day;
  const days = [...new Set(cells.map(({ day }) => day))];
  const beside = (step: number) => days[days.indexOf(here.day) + step];
  const over = (step: number) => {
    const day = beside(step);
    return day === undefined ? at : cellAt(cells, { day, minute: here.minute });
  };
  switch (key) {
    case "ArrowLeft": return Math.max(at - 1, 0);
    case "ArrowRight": return Math.min(at + 1, cells.length - 1);
    case "ArrowUp": return over(-1);
    case "ArrowDown": return over(1);
    case "Home": return cells.findIndex(same);
    case "End": return cells.findLastIndex(same);
    default: return undefined;
  }
}

export class Chooser {
  private elements: SVGGElement[] = [];
  private cells: Cell[] = [];
  private at = -1;

  constructor(private readonly week: HTMLElement, private readonly why: HTMLElement, private readonly go: (from: SVGGElement) => void, private readonly other: (key: string) => boolean) {
    week.addEventListener("keydown", (event) => this.key(event));
    week.addEventListener("click", (event) => this.click(event));
  }

  /** Takes a week that was placed anew, and chooses what was chosen before, else what the server says. */
  take(first: { day: number; stretch: number }, before: Position | undefined): void {
    const focused = this.week.contains(document.activeElement) || this.lost;
    this.lost = false;
    this.elements = [...this.week.querySelectorAll<SVGGElement>(".stretch")];
    const number = (element: SVGGElement, name: string) => Number(element.dataset[name]);
    this.cells = this.elements.map((element) => ({ day: number(element, "day"), stretch: number(element, "stretch"), minute: number(element, "from"), to: number(element, "to") }));
    const at = before ? cellAt(this.cells, before) : this.cells.findIndex(({ day, stretch }) => day === first.day && stretch === first.stretch);
    this.choose(Math.max(at, 0), focused);
  }

  /** To be asked before a week goes: whether the focus is in it. */
  leaving(): void {
    this.lost = this.week.contains(document.activeElement);
  }
  private lost = false;

  get position(): Position | undefined {
    return this.cells[this.at];
  }

  private choose(at: number, focus: boolean): void {
    const [element, cell] = [this.elements[at], this.cells[at]];
    this.at = at;
    for (const [i, other] of this.elements.entries()) {
      other.setAttribute("tabindex", i === at ? "0" : "-1");
      other.classList.toggle("chosen", i === at);
      other.setAttribute("aria-selected", String(i === at));
    }
    for (const group of this.week.querySelectorAll<HTMLElement>(".dry-group")) {
      const chosen = Number(group.dataset["day"]) === cell?.day;
      group.classList.toggle("chosen", chosen);
      for (const call of group.querySelectorAll<HTMLElement>(".dry-call")) call.hidden = !chosen;
    }
    for (const section of this.why.querySelectorAll<HTMLElement>(".dry-why")) {
      section.hidden = Number(section.dataset["day"]) !== cell?.day || Number(section.dataset["stretch"]) !== cell?.stretch;
    }
    if (focus) element?.focus();
  }

  private key(event: KeyboardEvent): void {
    const element = this.elements[this.at];
    if (element === undefined || !(event.target instanceof Element && event.target.closest(".stretch"))) return;
    const to = moved(this.cells, this.at, event.key);
    if (to !== undefined) this.choose(to, true);
    else if (event.key === "Enter" || event.key === " ") this.go(element);
    else if (!this.other(event.key)) return;
    event.preventDefault();
  }

  private click({ target }: MouseEvent): void {
    if (!(target instanceof Element)) return;
    const element = target.closest<SVGGElement>(".stretch");
    if (element) {
      const at = this.elements.indexOf(element);
      // The first click chooses, one on what is chosen goes to its line.
      if (at === this.at) this.go(element);
      else this.choose(at, true);
      return;
    }
    const name = target.closest<HTMLElement>(".dry-name[data-day]");
    if (name) this.choose(cellAt(this.cells, { day: Number(name.dataset["day"]), minute: this.position?.minute ?? 0 }), false);
  }
}
