// The status item: whether the server runs, and what it has found.

import * as vscode from "vscode";
import { findings } from "./findings";
import type { Presence, Server } from "./server";

const MENU = "[Review report](command:drycall.showReview) · [A unit's week](command:drycall.showWeek) · [Restart the server](command:drycall.restart)";

export function showStatus(server: Server): vscode.Disposable {
  const item = vscode.window.createStatusBarItem("drycall", vscode.StatusBarAlignment.Left);
  item.name = "drycall";
  let now: Presence = "starting";
  const draw = () => {
    const { text, tooltip, command } = now === "running" ? counted() : absent(now);
    item.text = text;
    item.tooltip = new vscode.MarkdownString(`${tooltip}\n\n${MENU}`);
    item.tooltip.isTrusted = true;
    item.command = command;
    item.accessibilityInformation = { label: `drycall: ${tooltip}` };
  };
  draw();
  item.show();
  const presence = server.onPresence((presence) => {
    now = presence;
    void vscode.commands.executeCommand("setContext", "drycall.serves", presence === "running");
    draw();
  });
  return vscode.Disposable.from(item, presence, vscode.languages.onDidChangeDiagnostics(draw));
}

interface Look {
  text: string;
  tooltip: string;
  command: string;
}

function counted(): Look {
  const levels = [vscode.DiagnosticSeverity.Error, vscode.DiagnosticSeverity.Warning];
  const all = findings();
  const [errors = 0, warnings = 0] = levels.map((level) => all.filter(([, finding]) => finding.severity === level).length);
  const notes = all.length - errors - warnings;
  const tooltip = all.length === 0 ? "Nothing is found wrong in the job." : [count(errors, "error"), count(warnings, "warning"), count(notes, "note")].join(", ");
  const text = all.length === 0 ? "$(check) drycall" : `$(comment-unresolved) drycall: ${all.length}`;
  return { text, tooltip, command: "workbench.actions.view.problems" };
}

function absent(presence: Presence): Look {
  if (presence === "starting") {
    return { text: "$(sync~spin) drycall", tooltip: "The server is starting.", command: "drycall.restart" };
  }
  const tooltip = presence === "missing" ? "The drycall program was not found." : "The server has stopped. Click to start it again.";
  return { text: "$(circle-slash) drycall", tooltip, command: "drycall.restart" };
}

function count(number: number, what: string): string {
  return `${number} ${what}${number === 1 ? "" : "s"}`;
}
