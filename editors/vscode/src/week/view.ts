// The panel that draws a unit's page, kept as current as the job.

import * as vscode from "vscode";
import { beside } from "../pages";
import { type Server, words } from "../server";
import { pageHtml, savedHtml } from "./html";
import { type Suppose, type ToPage, type ToPanel, mayGoTo } from "./messages";
import { Repairs } from "./repairs";
import type { Location, Pieces } from "./sheet";

/** An edit is drawn when the typing pauses. */
const PAUSE = 200;

/** Of the answer that can be placed. */
const FORMAT = 2;
const OTHER_VERSION = "The drycall program and this extension are of different versions. Install those that belong together.";

interface Shown {
  job: vscode.Uri;
  unit: string;
  service: string | undefined;
  from: string | undefined;
  suppose: Suppose[];
}

/** What `drycall.unit` answers. */
interface Answer {
  at: Location | null;
  lines: number | null;
  pieces: Pieces;
}

export class WeekView implements vscode.Disposable {
  private panel: vscode.WebviewPanel | undefined;
  private shown: Shown | undefined;
  private pieces: Pieces | undefined;
  private readonly repairs = new Repairs();
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
    this.shown = { job, unit, service: undefined, from: undefined, suppose: [] };
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
    panel.webview.onDidReceiveMessage((message: ToPanel) => this.take(message).catch((why) => void vscode.window.showErrorMessage(`drycall: ${words(why)}`)));
    panel.onDidDispose(() => (this.panel = undefined));
    this.panel = panel;
  }

  private async take(message: ToPanel): Promise<void> {
    switch (message.kind) {
      case "go": return goTo(message.to);
      case "preview": return this.repairs.preview(message.repair);
      case "copy": return vscode.env.clipboard.writeText(this.pieces?.svg ?? "");
      case "save": return this.save("svg", async ({ svg }) => svg);
      case "savePage": return this.save("html", (pieces) => savedHtml(this.extension, pieces));
    }
    if (this.shown === undefined) return;
    const { service, from } = this.shown;
    switch (message.kind) {
      case "unit": this.shown = { ...this.shown, unit: message.unit, service, from: undefined, suppose: [] }; break;
      case "service": this.shown = { ...this.shown, service: message.service, from, suppose: [] }; break;
      case "from": this.shown = { ...this.shown, from: message.date }; break;
      // What is supposed is held against the same week.
      case "suppose": this.shown = { ...this.shown, from: this.pieces?.from ?? from, suppose: message.suppose }; break;
    }
    await this.draw();
  }

  private async save(ending: string, make: (pieces: Pieces) => Promise<string>): Promise<void> {
    if (this.pieces === undefined || this.shown === undefined) return;
    const name = `${this.pieces.unit}-${this.pieces.from}`.replace(/[^\w.-]+/g, "_");
    const to = await vscode.window.showSaveDialog({ defaultUri: vscode.Uri.joinPath(vscode.Uri.file(this.shown.job.fsPath), "..", `${name}.${ending}`) });
    if (to !== undefined) await vscode.workspace.fs.writeFile(to, new TextEncoder().encode(await make(this.pieces)));
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
    let answer: Answer | undefined;
    let message: ToPage;
    try {
      units = await this.server.command<string[]>("drycall.units", { uri });
      answer = await this.ask(uri, wanted);
      if (answer.pieces.format !== FORMAT) throw new Error(OTHER_VERSION);
      message = { kind: "unit", units, pieces: answer.pieces, suppose: wanted.suppose };
    } catch (why) {
      message = { kind: "problem", units, unit: wanted.unit, words: words(why) };
    }
    // Something else may be wanted by now, and its answer may have come first.
    const current = () => wanted === this.shown && panel === this.panel;
    if (!current()) return;
    this.pieces = answer?.pieces;
    await panel.webview.postMessage(message);
    if (answer?.at && panel.visible) {
      const found = await this.repairs.of(answer.at, answer.lines ?? 1);
      if (current()) await panel.webview.postMessage({ kind: "repairs", unit: wanted.unit, ...found } satisfies ToPage);
    }
  }

  private async ask(uri: string, wanted: Shown): Promise<Answer> {
    const { unit, from, suppose } = wanted;
    const ask = (service: string | undefined) => this.server.command<Answer>("drycall.unit", { uri, unit, service, week: from, suppose });
    try {
      return await ask(wanted.service);
    } catch (why) {
      // Another unit may not have the service that was looked at: then what it has is shown.
      if (wanted.service === undefined) throw why;
      wanted.service = undefined;
      return ask(undefined);
    }
  }
}

async function goTo({ uri, range: { start, end } }: Location): Promise<void> {
  const place = vscode.Uri.parse(uri, true);
  if (!mayGoTo(place.scheme)) throw new Error(`${place.scheme} addresses are not opened`);
  const selection = new vscode.Range(start.line, start.character, end.line, end.character);
  await vscode.window.showTextDocument(place, { viewColumn: vscode.ViewColumn.One, selection });
}
