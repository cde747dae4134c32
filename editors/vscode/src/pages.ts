// Read-only documents that the server writes: a check's page, a chart, the review, a built-in unit type.

import * as vscode from "vscode";
import { type Server, words } from "./server";

/** The scheme of pages; the server links a finding's code to `drycall:checks/CHECK`. */
const PAGE = "drycall";
const LIBRARY = "drycall-library";

/** An edit is shown on a page when the typing pauses. */
const PAUSE = 300;

export function explainPage(check: string): vscode.Uri {
  return vscode.Uri.from({ scheme: PAGE, path: `checks/${check}` });
}

export function chartPage(job: vscode.Uri, unit: string): vscode.Uri {
  return about(`chart/Logic chart of ${unit}`, { uri: job.toString(), unit });
}

export function reviewPage(job: vscode.Uri): vscode.Uri {
  return about("review/Review report", { uri: job.toString() });
}

/** The last part of the path is what the tab says; the query what the server is asked. */
function about(path: string, argument: object): vscode.Uri {
  return vscode.Uri.from({ scheme: PAGE, path, query: JSON.stringify(argument) });
}

/** Shows a page beside what is being worked on. */
export async function openPage(uri: vscode.Uri): Promise<void> {
  const document = await vscode.workspace.openTextDocument(uri);
  await vscode.window.showTextDocument(document, { viewColumn: beside(), preview: true });
}

/** The column for what is only looked at: one for all of it, not ever another. */
export function beside(): vscode.ViewColumn {
  const { activeTabGroup } = vscode.window.tabGroups;
  return activeTabGroup.viewColumn === vscode.ViewColumn.One ? vscode.ViewColumn.Beside : vscode.ViewColumn.Active;
}

export function servePages(server: Server): vscode.Disposable {
  const changes = new vscode.EventEmitter<vscode.Uri>();
  const page = async ({ path, query }: vscode.Uri): Promise<string> => {
    const [kind, name] = path.replace(/^\//, "").split("/");
    switch (kind) {
      case "checks":
        return server.command<string>("drycall.explain", { check: name });
      case "chart":
        return (await server.command<{ text: string }>("drycall.chart", JSON.parse(query))).text;
      default:
        return server.command<string>("drycall.review", JSON.parse(query));
    }
  };
  const said = (text: Promise<string>) => text.catch((why) => `This page cannot be shown: ${words(why)}\n`);
  const pages: vscode.TextDocumentContentProvider = {
    onDidChange: changes.event,
    provideTextDocumentContent: (uri) => said(page(uri)),
  };
  const library: vscode.TextDocumentContentProvider = {
    onDidChange: changes.event,
    provideTextDocumentContent: (uri) => said(server.request<string>("drycall/libraryText", { uri: uri.toString() })),
  };
  // What is read or found in a job may change an open chart or review; once the typing pauses is soon enough.
  let timer: NodeJS.Timeout | undefined;
  const soon = () => {
    clearTimeout(timer);
    timer = setTimeout(() => {
      const open = vscode.workspace.textDocuments.map(({ uri }) => uri);
      open.filter(({ scheme, query }) => scheme === PAGE && query !== "").forEach((uri) => changes.fire(uri));
    }, PAUSE);
  };
  const renewed = vscode.Disposable.from(
    vscode.languages.onDidChangeDiagnostics(soon),
    vscode.workspace.onDidChangeTextDocument(({ document }) => document.languageId === "yaml" && document.uri.scheme === "file" && soon()),
    server.onPresence((presence) => {
      // A page that was asked for too early says so until then.
      const open = vscode.workspace.textDocuments.map(({ uri }) => uri);
      if (presence === "running") open.filter(({ scheme }) => scheme === PAGE || scheme === LIBRARY).forEach((uri) => changes.fire(uri));
    }),
    { dispose: () => clearTimeout(timer) },
  );
  // A link to a page has no ending to tell its language by.
  const coloured = vscode.workspace.onDidOpenTextDocument((document) => {
    const { scheme, path } = document.uri;
    const language = scheme === LIBRARY ? "yaml" : scheme === PAGE && path.includes("checks/") ? "markdown" : undefined;
    if (language !== undefined && document.languageId !== language) void vscode.languages.setTextDocumentLanguage(document, language);
  });
  return vscode.Disposable.from(
    changes, renewed, coloured,
    vscode.workspace.registerTextDocumentContentProvider(PAGE, pages),
    vscode.workspace.registerTextDocumentContentProvider(LIBRARY, library),
  );
}
