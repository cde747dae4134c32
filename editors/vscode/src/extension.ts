// What the editor starts when a folder with a site.yaml is opened.

import * as vscode from "vscode";
import { chooseCheck, chooseJob, chooseUnit, jobOf } from "./choose";
import { chartPage, explainPage, openPage, reviewPage, servePages } from "./pages";
import { Server, words } from "./server";
import { showStatus } from "./status";
import { WeekView } from "./week/view";

export async function activate(context: vscode.ExtensionContext): Promise<void> {
  const server = new Server(context);
  const weeks = new WeekView(context.extensionUri, server);
  const register = <A extends unknown[]>(command: string, does: (...given: A) => Promise<void>) =>
    vscode.commands.registerCommand(`drycall.${command}`, (...given: A) => does(...given).catch((why) => vscode.window.showErrorMessage(`drycall: ${words(why)}`)));
  const forUnit = async (does: (job: vscode.Uri, unit: string) => Promise<void>) => {
    const job = await chooseJob();
    const unit = job && (await chooseUnit(server, job));
    if (job !== undefined && unit !== undefined) await does(job, unit);
  };
  context.subscriptions.push(
    server,
    weeks,
    showStatus(server),
    servePages(server),
    // A lens says which unit; from the palette and the title bar it is chosen.
    register("showWeek", async (of?: unknown) => {
      if (isLens(of)) await weeks.show(await jobOf(vscode.Uri.parse(of.uri, true)), of.unit);
      else await forUnit((job, unit) => weeks.show(job, unit));
    }),
    register("showChart", () => forUnit((job, unit) => openPage(chartPage(job, unit)))),
    register("showReview", async () => {
      const job = await chooseJob();
      if (job !== undefined) await openPage(reviewPage(job));
    }),
    register("explainCheck", async () => {
      const check = await chooseCheck();
      if (check !== undefined) await openPage(explainPage(check));
    }),
    register("restart", () => server.restart()),
    vscode.workspace.onDidChangeConfiguration((change) => {
      if (change.affectsConfiguration("drycall.path")) void server.restart();
    }),
  );
  await server.start();
}

function isLens(of: unknown): of is { uri: string; unit: string } {
  const { uri, unit } = (of ?? {}) as { uri?: unknown; unit?: unknown };
  return typeof uri === "string" && typeof unit === "string";
}
