// What a command is about: the job, one of its units, a check.

import * as vscode from "vscode";
import { checkOf, findings, findingsAt } from "./findings";
import type { Server } from "./server";

const NO_JOB = "No folder here has a site.yaml, so there is no job.";

/** The folders that hold a site.yaml. */
export async function jobs(): Promise<vscode.Uri[]> {
  return (await vscode.workspace.findFiles("**/site.yaml")).map((site) => vscode.Uri.joinPath(site, ".."));
}

/** The job that a file lies in; where none of the open folders holds it, the file's own folder stands for it. */
export async function jobOf(file: vscode.Uri): Promise<vscode.Uri> {
  return nearest(await jobs(), file.path) ?? vscode.Uri.joinPath(file, "..");
}

function nearest(all: vscode.Uri[], path: string): vscode.Uri | undefined {
  const around = all.filter((job) => path.startsWith(`${job.path}/`));
  return around.sort((a, b) => b.path.length - a.path.length)[0];
}

/** The job of the file that is edited, else the only one there is, else the one that is picked. */
export async function chooseJob(): Promise<vscode.Uri | undefined> {
  const all = await jobs();
  const edited = nearest(all, vscode.window.activeTextEditor?.document.uri.path ?? "");
  if (edited !== undefined) return edited;
  if (all.length === 1) return all[0];
  if (all.length === 0) return none(NO_JOB);
  const items = all.map((job) => ({ label: vscode.workspace.asRelativePath(job), job }));
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
  if (checks.size === 0) return none((await jobs()).length === 0 ? NO_JOB : "Nothing is found wrong, so there is no check to explain.");
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
