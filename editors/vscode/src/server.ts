// The server, as long as there is one.

import { type ChildProcess, spawn } from "node:child_process";
import * as vscode from "vscode";
import { CloseAction, LanguageClient, type LanguageClientOptions, State } from "vscode-languageclient/node";
import { findProgram } from "./program";

/** Whether the server is there to be asked. */
export type Presence = "missing" | "starting" | "running" | "stopped";

/** Starts and stops the program, and asks it. */
export class Server implements vscode.Disposable {
  private client: LanguageClient | undefined;
  private process: ChildProcess | undefined;
  /** Starts and stops, one after the other. */
  private turns: Promise<void> = Promise.resolve();
  private readonly changes = new vscode.EventEmitter<Presence>();
  readonly onPresence = this.changes.event;

  constructor(private readonly context: vscode.ExtensionContext) {}

  start(): Promise<void> {
    return this.inTurn(() => this.bringUp());
  }

  restart(): Promise<void> {
    // One that is coming up cannot be asked to stop, and may never be up.
    if (this.client?.state === State.Starting) this.abandon();
    return this.inTurn(async () => {
      await this.stop();
      await this.bringUp();
    });
  }

  /** Has one of the server's commands done; what it says when it cannot is shown as it is. */
  async command<T>(command: string, argument: object): Promise<T> {
    return this.request<T>("workspace/executeCommand", { command, arguments: [argument] });
  }

  async request<T>(method: string, params: object): Promise<T> {
    if (this.client?.state !== State.Running) throw new Error("the server is not running");
    return this.client.sendRequest<T>(method, params);
  }

  dispose(): void {
    this.changes.dispose();
    if (this.client?.state === State.Starting) this.abandon();
    else void this.stop();
  }

  private inTurn(does: () => Promise<void>): Promise<void> {
    const done = this.turns.then(does);
    this.turns = done.catch(() => {});
    return done;
  }

  private async bringUp(): Promise<void> {
    const configured = vscode.workspace.getConfiguration("drycall").get("path", "").trim();
    const command = findProgram(configured, this.context.extensionPath, process.env["PATH"] ?? "");
    if (command === undefined) {
      this.changes.fire("missing");
      void this.tellHowToInstall(configured);
      return;
    }
    const client: LanguageClient = new LanguageClient("drycall", "drycall", () => this.run(command, client), {
      ...options,
      // What failed is told below, once.
      initializationFailedHandler: () => false,
      errorHandler: {
        error: (...what) => usual.error(...what),
        // One that was given up is not started again.
        closed: () => (this.client === client ? usual.closed() : { action: CloseAction.DoNotRestart, handled: true }),
      },
    });
    const usual = client.createDefaultErrorHandler();
    this.client = client;
    client.onDidChangeState(({ newState }) => this.client === client && this.changes.fire(presence(newState)));
    try {
      await client.start();
    } catch (why) {
      if (this.client === client) void vscode.window.showErrorMessage(`drycall: ${command} does not start: ${words(why)}`);
    }
  }

  private run(command: string, client: LanguageClient): Promise<ChildProcess> {
    return new Promise((runs, fails) => {
      if (this.client !== client) return fails(new Error("it was given up"));
      const child = spawn(command, ["serve"]);
      this.process = child;
      child.once("error", fails);
      child.once("spawn", () => runs(child));
    });
  }

  private async stop(): Promise<void> {
    const client = this.client;
    this.client = undefined;
    // One that never came up has nothing to stop.
    if (client?.needsStop()) await client.dispose().catch(() => {});
    this.changes.fire("stopped");
  }

  private abandon(): void {
    this.client = undefined;
    this.process?.kill();
  }

  private async tellHowToInstall(configured: string): Promise<void> {
    const where = configured === "" ? "It is neither shipped with the extension nor on the search path." : `The setting drycall.path names ${configured}, which cannot be run.`;
    const choice = await vscode.window.showErrorMessage(`The drycall program was not found, so nothing is checked. ${where}`, "How to Install", "Open Settings");
    if (choice === "How to Install") {
      // The packer writes its name so.
      const page = vscode.Uri.joinPath(this.context.extensionUri, "readme.md");
      await vscode.commands.executeCommand("markdown.showPreview", page);
    } else if (choice === "Open Settings") {
      await vscode.commands.executeCommand("workbench.action.openSettings", "drycall.path");
    }
  }
}

const options: LanguageClientOptions = {
  documentSelector: [{ scheme: "file", language: "yaml" }],
  // Built-in unit types are shown from `drycall-library:` addresses and copied nowhere; a lens opens the week.
  initializationOptions: { libraryScheme: true, showWeek: true },
};

function presence(state: State): Presence {
  return state === State.Running ? "running" : state === State.Starting ? "starting" : "stopped";
}

/** An error in words. */
export function words(why: unknown): string {
  return why instanceof Error ? why.message : String(why);
}
