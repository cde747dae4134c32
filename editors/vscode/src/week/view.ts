// The panel that draws a unit's week, kept as current as the job.

import * as vscode from "vscode";
import { beside } from "../pages";
import { type Server, words } from "../server";
import { pageHtml } from "./html";
import { type ToPage, type ToPanel, mayGoTo } from "./messages";
import type { Location, Week } from "./week";

/** An edit is drawn when the typing pauses. */
const PAUSE = 200;

/** Of the answer that can be drawn. */
const FORMAT = 1;
const OTHER_VERSION = "The drycall program and this extension are of different versions. Install those that belong together.";

export class WeekView implements vscode.Disposable {
  private panel: vscode.WebviewPanel | undefined;
  private shown: { job: vscode.Uri; unit: string; from: string | undefined } | undefined;
  private timer: NodeJS.Timeout | undefined;
  private readonly listening: vscode.Disposable;

  constructor(private readonly extension: vscode.Uri, private readonly server: Server) {
    // An edit that changes no finding may still change the week, and the other way round.
    this.listening = vscode.Disposable.from(
      vscode.workspace.onDidChangeTextDocument(({ document }) => document.languageId === "yaml" && this.soon()),
      vscode.languages.onDidChangeDiagnostics(() => this.soon()),
      server.onPresence(() => this.soon()),
    );
  }

  async show(job: vscode.Uri, unit: string): Promise<void> {
    this.shown = { job, unit, from: undefined };
    if (this.panel === undefined) this.open();
    else this.panel.reveal(undefined, false);
    await this.draw();
  }

  dispose(): void {
    clearTimeout(this.timer);
    this.listening.dispose();
    this.panel?.dispose();
  }

  private open(): void {
    const roots = ["media", "out"].map((folder) => vscode.Uri.joinPath(this.extension, folder));
    const panel = vscode.window.createWebviewPanel("drycall.week", "Week", beside(), { enableScripts: true, localResourceRoots: roots });
    panel.iconPath = vscode.Uri.joinPath(this.extension, "media", "icon.png");
    panel.webview.html = pageHtml(panel.webview, this.extension);
    panel.webview.onDidReceiveMessage((message: ToPanel) => this.take(message));
    panel.onDidDispose(() => (this.panel = undefined));
    this.panel = panel;
  }

  private async take(message: ToPanel): Promise<void> {
    if (message.kind === "go") {
      return goTo(message.to).catch((why) => void vscode.window.showErrorMessage(`drycall: ${words(why)}`));
    }
    if (this.shown === undefined) return;
    if (message.kind === "unit") this.shown = { ...this.shown, unit: message.unit };
    if (message.kind === "from") this.shown = { ...this.shown, from: message.date };
    await this.draw();
  }

  private soon(): void {
    clearTimeout(this.timer);
    if (this.panel !== undefined) this.timer = setTimeout(() => void this.draw(), PAUSE);
  }

  private async draw(): Promise<void> {
    const [panel, wanted] = [this.panel, this.shown];
    if (panel === undefined || wanted === undefined) return;
    panel.title = `Week of ${wanted.unit}`;
    const uri = wanted.job.toString();
    let units: string[] = [];
    let message: ToPage;
    try {
      units = await this.server.command<string[]>("drycall.units", { uri });
      const week = await this.server.command<Week>("drycall.week", { uri, unit: wanted.unit, week: wanted.from });
      if (week.format !== FORMAT) throw new Error(OTHER_VERSION);
      message = { kind: "week", units, week };
    } catch (why) {
      message = { kind: "problem", units, unit: wanted.unit, words: words(why) };
    }
    // Something else may be wanted by now, and its answer may have come first.
    if (wanted === this.shown && panel === this.panel) await panel.webview.postMessage(message);
  }
}

async function goTo({ uri, range: { start, end } }: Location): Promise<void> {
  const place = vscode.Uri.parse(uri, true);
  if (!mayGoTo(place.scheme)) throw new Error(`${place.scheme} addresses are not opened`);
  const selection = new vscode.Range(start.line, start.character, end.line, end.character);
  await vscode.window.showTextDocument(place, { viewColumn: vscode.ViewColumn.One, selection });
}
