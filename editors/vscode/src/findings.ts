// What drycall has found, as the editor keeps it.

import * as vscode from "vscode";

/** All findings, with the file each lies in. */
export function findings(): [vscode.Uri, vscode.Diagnostic][] {
  return vscode.languages.getDiagnostics().flatMap(([uri, all]) => ours(all).map((one): [vscode.Uri, vscode.Diagnostic] => [uri, one]));
}

/** Those of one file that touch a line. */
export function findingsAt(uri: vscode.Uri, line: number): vscode.Diagnostic[] {
  return ours(vscode.languages.getDiagnostics(uri)).filter(({ range }) => range.start.line <= line && line <= range.end.line);
}

/** The check that made a finding. */
export function checkOf({ code }: vscode.Diagnostic): string {
  return String(typeof code === "object" ? code.value : code);
}

function ours(all: vscode.Diagnostic[]): vscode.Diagnostic[] {
  return all.filter(({ source }) => source === "drycall");
}
