// The repairs of a unit's findings, as the editor offers them on its line, and what else was found there.

import * as vscode from "vscode";
import type { Line } from "./messages";
import type { Location } from "./sheet";

export class Repairs {
  private actions: vscode.CodeAction[] = [];

  /** The repairs at the line of a unit, and the findings in the lines below it. */
  async of(at: Location, lines: number): Promise<{ repairs: string[]; also: Line[] }> {
    const uri = vscode.Uri.parse(at.uri, true);
    const { start, end } = at.range;
    const name = new vscode.Range(start.line, start.character, end.line, end.character);
    const offered = await vscode.commands.executeCommand<vscode.CodeAction[]>("vscode.executeCodeActionProvider", uri, name, vscode.CodeActionKind.QuickFix.value);
    this.actions = (offered ?? []).filter(({ edit }) => edit !== undefined);
    const inside = ({ range }: vscode.Diagnostic) => start.line < range.start.line && range.start.line < start.line + lines;
    const found = vscode.languages.getDiagnostics(uri).filter((one) => one.source === "drycall" && inside(one));
    const also = found.map(({ message, range }) => ({
      words: message,
      to: { uri: at.uri, range: { start: { line: range.start.line, character: range.start.character }, end: { line: range.end.line, character: range.end.character } } },
    }));
    return { repairs: this.actions.map(({ title }) => title), also };
  }

  /** Shows what a repair changes, line by line, and leaves it to the reader to apply it. */
  async preview(number: number): Promise<void> {
    const action = this.actions[number];
    if (action?.edit === undefined) return;
    const asked = new vscode.WorkspaceEdit();
    const metadata = { needsConfirmation: true, label: action.title };
    for (const [uri, edits] of action.edit.entries()) {
      for (const { range, newText } of edits) asked.replace(uri, range, newText, metadata);
    }
    await vscode.workspace.applyEdit(asked);
  }
}
