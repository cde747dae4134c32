// A short way to make elements.

type Properties = { class?: string; [attribute: string]: string | undefined };

/** An element with attributes and children; a string is text. */
export function element<K extends keyof HTMLElementTagNameMap>(
  tag: K, attributes: Properties = {}, ...children: (Node | string)[]
): HTMLElementTagNameMap[K] {
  const made = document.createElement(tag);
  for (const [name, value] of Object.entries(attributes)) {
    if (value !== undefined) made.setAttribute(name, value);
  }
  made.append(...children);
  return made;
}

/** Words with `names` in backquotes set as code. */
export function prose(words: string): (Node | string)[] {
  return words.split("`").map((part, i) => (i % 2 === 1 ? element("code", {}, part) : part));
}

/** Puts a piece of the server's in an element, if it is another than what is there: a click or a focus on what did not
 *  change is not lost. The piece holds no script, and the page's policy would not run it. */
export function place(into: HTMLElement, piece: string): boolean {
  if (pieces.get(into) === piece) return false;
  pieces.set(into, piece);
  into.innerHTML = piece;
  return true;
}

const pieces = new WeakMap<HTMLElement, string>();
