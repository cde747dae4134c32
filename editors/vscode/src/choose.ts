// What a command is about: the job, one of its units, a check.

import * as vscode from "vscode";
import { checkOf, findings, findingsAt } from "./findings";
import type { Server } from "./server";

/** The job of the file that is edited, else the only one there is, else the one that is picked. */
export async function chooseJob(): Promise<vscode.Uri | undefined> {
  const sites = await vscode.workspace.findFiles("**/site.yaml");
  const jobs = sites.map((site) => vscode.Uri.joinPath(site, ".."));
  const edited = vscode.window.activeTextEditor?.document.uri.path ?? "";
  const around = jobs.filter((job) => edited.startsWith(`${job.path}/`));
  const nearest = around.sort((a, b) => b.path.length - a.path.length)[0];
  if (nearest !== undefined) return nearest;
  if (jobs.length === 1) return jobs[0];
  if (jobs.length === 0) return none("No folder here has a site.yaml, so there is no job.");
  const items = jobs.map((job) => ({ label: vscode.workspace.asRelativePath(job), job }));
  return (await vscode.window.showQuickPick(items, { title: "Which job?" }))?.job;
}

/** A unit of the job that is picked; the one at the cursor comes first. */
export async function chooseUnit(server: Server, job: vscode.Uri): Promise<string | undefined> {
  const units = await server.command<string[]>("drycall.units", { uri: job.toString() });
  if (units.length === 0) return none("The job has no units yet.");
  const here = wordAtCursor();
  const sorted = [...units.filter((unit) => unit === here), ...units.filter((unit) => unit !== here)];
  return vscode.window.showQuickPick(sorted, { title: "Which unit?" });
}

/** A check that has found something, one at the cursor first. */
export async function chooseCheck(): Promise<string | undefined> {
  const editor = vscode.window.activeTextEditor;
  const here = editor ? findingsAt(editor.document.uri, editor.selection.active.line) : [];
  const all = findings().map(([, finding]) => checkOf(finding)).sort();
  const checks = new Set([...here.map(checkOf), ...all]);
  if (checks.size === 0) return none("Nothing is found wrong, so there is no check to explain.");
  return vscode.window.showQuickPick([...checks], { title: "Which check?", placeHolder: "Checks that have found something in the job" });
}

/** Says why there is nothing to choose. */
function none(words: string): undefined {
  void vscode.window.showInformationMessage(words);
}

function wordAtCursor(): string | undefined {
  const editor = vscode.window.activeTextEditor;
  const range = editor?.document.getWordRangeAtPosition(editor.selection.active, /[^\s:,{}[\]]+/);
  return range && editor?.document.getText(range);
}
