// The page of a unit before anything is drawn; it may load its own script and style, and nothing else.

import { randomBytes } from "node:crypto";
import * as vscode from "vscode";
import type { Pieces } from "./sheet";

const SHEETS = ["drawing.css", "page.css"];

export function pageHtml(webview: vscode.Webview, extension: vscode.Uri): string {
  const nonce = randomBytes(16).toString("hex");
  const file = (...path: string[]) => webview.asWebviewUri(vscode.Uri.joinPath(extension, ...path));
  const policy = `default-src 'none'; style-src ${webview.cspSource}; script-src 'nonce-${nonce}'`;
  return `<!doctype html>
<html lang="en">
<head>
<meta charset="utf-8">
<meta http-equiv="Content-Security-Policy" content="${policy}">
<meta name="viewport" content="width=device-width, initial-scale=1">
${[...SHEETS, "week.css"].map((name) => `<link rel="stylesheet" href="${file("media", name)}">`).join("\n")}
<title>Week</title>
</head>
<body>
<main class="dry">
<div id="job"></div>
<details id="board-fold" class="dry-not-printed"><summary><h2>All units, worst first</h2></summary><div id="board"></div></details>
<p id="problem" class="problem" role="alert" hidden></p>
<div id="headline"></div>
<div id="tools" class="tools dry-not-printed" role="toolbar" aria-label="Unit and week"></div>
<div id="unit-page" class="dry-columns">
<section aria-label="Week"><div id="week"><p>Looking at the job …</p></div><p class="dry-mute dry-not-printed">Arrow keys move; Enter goes to the line behind it; Page Up and Page Down change the week.</p><div id="choices"></div></section>
<section aria-label="Why, and repairs"><div id="why"></div><div id="repairs" class="dry-not-printed"></div></section>
<section id="year" aria-label="Year"></section>
<section id="ladder" aria-label="Limits"></section>
</div>
</main>
<script nonce="${nonce}" src="${file("out", "page.js")}"></script>
</body>
</html>`;
}

/** A page that stands alone, with nothing to press: to be printed or sent. */
export async function savedHtml(extension: vscode.Uri, pieces: Pieces): Promise<string> {
  const read = async (name: string) => new TextDecoder().decode(await vscode.workspace.fs.readFile(vscode.Uri.joinPath(extension, "media", name)));
  const style = (await Promise.all(SHEETS.map(read))).join("\n");
  const text = (part: string) => part.replaceAll("&", "&amp;").replaceAll("<", "&lt;");
  // The first reason is shown, which is that of the longest gap of the week; a link leads nowhere here.
  const opened = `data-day="${pieces.day}" data-stretch="${pieces.stretch}"`;
  const why = pieces.why.replace(`${opened} hidden`, opened);
  const group = pieces.week.split('<div class="dry-group');
  const week = group.map((part, i) => (i === pieces.day + 1 ? part.replaceAll(" hidden>", ">") : part)).join('<div class="dry-group');
  const body = `${pieces.job}${pieces.board}${pieces.headline}<div class="dry-columns"><section>${week}</section><section>${why}</section><section>${pieces.year}</section><section>${pieces.ladder}</section></div>`;
  const plain = body.replace(/<a ([^>]*)href="#"( data-(?:go|unit)="[^"]*")?>(.*?)<\/a>/g, "<span>$3</span>");
  return `<!doctype html>
<html lang="en">
<head><meta charset="utf-8"><meta name="viewport" content="width=device-width, initial-scale=1"><title>${text(`${pieces.unit}, week from ${pieces.from}`)}</title><style>${style}
body { margin: 1rem; }</style></head>
<body><main class="dry">${plain}</main></body>
</html>
`;
}
