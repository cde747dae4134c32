// The page of the week view before anything is drawn; it may load its own script and style, and nothing else.

import { randomBytes } from "node:crypto";
import * as vscode from "vscode";

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
<link rel="stylesheet" href="${file("media", "week.css")}">
<title>Week</title>
</head>
<body>
<main id="main"><p>Looking at the job …</p></main>
<script nonce="${nonce}" src="${file("out", "page.js")}"></script>
</body>
</html>`;
}
