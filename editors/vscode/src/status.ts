// The status item: whether the server runs, and what it has found.

import * as vscode from "vscode";
import { jobs } from "./choose";
import { checkOf, findings } from "./findings";
import type { Presence, Server } from "./server";
import { type Counted, verdict } from "./verdict";

const MENU = "[Review report](command:drycall.showReview) · [A unit's week](command:drycall.showWeek) · [Restart the server](command:drycall.restart)";

export function showStatus(server: Server): vscode.Disposable {
  const item = vscode.window.createStatusBarItem("drycall", vscode.StatusBarAlignment.Left);
  item.name = "drycall";
  let now: Presence = "starting";
  let isJob = true;
  const draw = () => {
    const { text, tooltip, command } = now === "running" ? counted(isJob) : absent(now);
    item.text = text;
    item.tooltip = new vscode.MarkdownString(`${tooltip}\n\n${MENU}`);
    item.tooltip.isTrusted = true;
    item.command = command;
    item.accessibilityInformation = { label: `drycall: ${tooltip}` };
  };
  const look = async () => {
    isJob = (await jobs()).length > 0;
    draw();
  };
  draw();
  void look();
  item.show();
  const sites = vscode.workspace.createFileSystemWatcher("**/site.yaml", false, true, false);
  const presence = server.onPresence((presence) => {
    now = presence;
    void vscode.commands.executeCommand("setContext", "drycall.serves", presence === "running");
    draw();
  });
  return vscode.Disposable.from(
    item, presence, sites,
    sites.onDidCreate(look),
    sites.onDidDelete(look),
    vscode.workspace.onDidChangeWorkspaceFolders(look),
    vscode.languages.onDidChangeDiagnostics(draw),
  );
}

interface Look {
  text: string;
  tooltip: string;
  command: string;
}

function counted(isJob: boolean): Look {
  const all = findings().map(([uri, finding]) => ({ check: checkOf(finding), level: level(finding), place: `${uri.toString()}:${finding.range.start.line}` }));
  return { ...verdict(all, isJob), command: "workbench.actions.view.problems" };
}

function level({ severity }: vscode.Diagnostic): Counted["level"] {
  return severity === vscode.DiagnosticSeverity.Error ? "error" : severity === vscode.DiagnosticSeverity.Warning ? "warning" : "note";
}

function absent(presence: Presence): Look {
  if (presence === "starting") {
    return { text: "$(sync~spin) drycall", tooltip: "The server is starting.", command: "drycall.restart" };
  }
  const tooltip = presence === "missing" ? "The drycall program was not found." : "The server has stopped. Click to start it again.";
  return { text: "$(circle-slash) drycall", tooltip, command: "drycall.restart" };
}
