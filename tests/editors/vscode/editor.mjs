// VS Code in a browser: starts it, and does what a hand on mouse and keyboard does.
import { spawn } from "node:child_process";
import assert from "node:assert/strict";
import fs from "node:fs";
import net from "node:net";
import path from "node:path";
import axe from "axe-core";
import { chromium } from "playwright-core";

const BROWSER = ["--no-sandbox", "--disable-gpu", "--disable-quic", "--no-first-run", "--disable-background-networking", "--disable-component-update", "--disable-sync"];

export class Editor {
  /** Opens a job; `work` takes what the editor writes, `shots` the pictures. */
  static async open({ server, work, job, settings, shots, browser }) {
    const editor = new Editor();
    Object.assign(editor, { work, shots, settings });
    editor.configure({});
    const port = await freePort();
    fs.writeFileSync(path.join(work, "cs.yaml"), `bind-addr: 127.0.0.1:${port}\nauth: none\ncert: false\n`);
    const log = fs.openSync(path.join(work, "editor.log"), "w");
    const args = [server, "--config", path.join(work, "cs.yaml"), "--user-data-dir", path.join(work, "data"), "--extensions-dir", path.join(work, "extensions"),
      "--disable-telemetry", "--disable-update-check", "--disable-workspace-trust", job];
    const env = { ...process.env, EXTENSIONS_GALLERY: '{"serviceUrl":""}' };
    editor.process = spawn(process.execPath, args, { env, stdio: ["ignore", log, log] });
    process.on("exit", () => editor.process.kill());
    await until("the editor's server", () => fetch(`http://127.0.0.1:${port}/healthz`).then((r) => r.ok, () => false));
    editor.browser = await chromium.launch({ executablePath: browser, args: BROWSER });
    editor.page = await editor.browser.newPage({ viewport: { width: 1400, height: 900 } });
    editor.page.setDefaultTimeout(20_000);
    await editor.start(`http://127.0.0.1:${port}/?folder=${encodeURIComponent(job)}`);
    return editor;
  }

  async start(address) {
    await this.page.goto(address);
    await this.page.locator(".explorer-folders-view").waitFor({ timeout: 60_000 });
  }

  /** Starts the window anew with other settings, with nothing open. */
  async again(settings) {
    await this.command("View: Close All Editor Groups");
    this.configure(settings);
    await this.start(this.page.url());
    // The server has to be there before its commands are.
    await this.page.locator(".statusbar-item", { hasText: "drycall" }).first().waitFor();
    if (settings["drycall.path"] === undefined) await until("findings", async () => (await this.count()) > 0);
  }

  /** Waits until some editor shows a text, however it sets its blanks. */
  async reads(words) {
    await until(words, async () => {
      const shown = await this.page.locator(".monaco-editor .view-lines").allInnerTexts();
      return shown.join("\n").replaceAll("\u00a0", " ").includes(words);
    });
  }

  async close() {
    await this.browser?.close();
    this.process?.kill();
  }

  /** Changes the settings: the user's, and the machine's, where the program is named. */
  configure(more) {
    Object.assign(this.settings, more);
    for (const whose of ["User", "Machine"]) {
      const file = path.join(this.work, "data", whose, "settings.json");
      fs.mkdirSync(path.dirname(file), { recursive: true });
      fs.writeFileSync(file, JSON.stringify(this.settings));
    }
  }

  async shot(name) {
    // A picture of something that still moves shows nothing.
    await this.page.waitForTimeout(700);
    await this.page.screenshot({ path: path.join(this.shots, `${name}.png`) });
  }

  press(...keys) {
    return keys.reduce((before, key) => before.then(() => this.page.keyboard.press(key)), Promise.resolve());
  }

  async openFile(name) {
    const parts = name.split("/");
    for (const [i, part] of parts.entries()) {
      const item = this.page.locator(".explorer-folders-view .monaco-list-row").filter({ has: this.page.getByText(part, { exact: true }) });
      const folded = i < parts.length - 1 && (await item.getAttribute("aria-expanded")) === "false";
      if (i === parts.length - 1) await item.dblclick();
      else if (folded) await item.click();
    }
    await this.page.locator(".tab.active", { hasText: parts.at(-1) }).waitFor();
    await this.page.locator(".monaco-editor .view-line").first().waitFor();
  }

  /** Puts the cursor at a line and column, counted from 1. */
  async goTo(line, column) {
    await this.page.locator(".editor-instance .monaco-editor").first().click();
    await this.press("Control+g");
    await this.pick(`:${line}:${column}`, undefined);
  }

  /** Runs a command by its title. */
  async command(title) {
    await this.press("F1");
    await this.pick(`>${title}`, title);
  }

  /** Writes into the quick input, and takes what it offers under a name, if there is one. */
  async pick(text, name) {
    const box = this.page.locator(".quick-input-widget:visible");
    await box.locator("input[type=text]").first().fill(text);
    if (name !== undefined) await box.locator(".monaco-list-row.focused", { hasText: name }).waitFor();
    await this.press("Enter");
  }

  /** Answers a question of the extension, once it is that which is asked. */
  async answer(question, name) {
    await this.page.locator(".quick-input-widget:visible .quick-input-title", { hasText: question }).waitFor();
    await this.pick(name, name);
  }

  /** How many findings the status item counts. */
  async count() {
    // Its words may be of the units that never dry; its label names all levels.
    const label = this.page.locator(".statusbar-item", { hasText: "drycall" }).first().locator("[aria-label*='drycall']").first();
    const levels = /(\d+) errors?, (\d+) warnings?, (\d+) notes?/.exec((await label.getAttribute("aria-label")) ?? "");
    return levels === null ? NaN : levels.slice(1).reduce((sum, level) => sum + Number(level), 0);
  }

  async counts(number) {
    let last;
    await until(`${number} findings (${last} last)`, async () => (last = await this.count()) === number).catch((why) => {
      throw new Error(`${why.message}; the last count was ${last}`);
    });
  }

  /** The page inside the panel of the week. */
  week() {
    return this.page.frameLocator("iframe.webview").frameLocator("#active-frame");
  }

  /** Holds the panel of the week to the rules of WCAG 2.2, levels A and AA, as far as axe-core knows them. */
  async accessible() {
    const handle = await this.week().locator("body").elementHandle();
    const frame = await handle.ownerFrame();
    await frame.evaluate(axe.source);
    const tags = ["wcag2a", "wcag2aa", "wcag21a", "wcag21aa", "wcag22aa"];
    const { violations, passes } = await frame.evaluate((values) => globalThis.axe.run({ runOnly: { type: "tag", values } }), tags);
    assert.ok(passes.length > 5, "axe-core looked at nothing");
    const told = violations.map(({ id, nodes }) => `${id}: ${nodes.length} elements, the first ${nodes[0].target}: ${nodes[0].failureSummary}`);
    assert.ok(told.length === 0, told.join("\n"));
  }

  /** Clicks as a hand does: the button takes its time, and the editor turns to what is under it meanwhile. */
  click(locator) {
    return locator.click({ delay: 150 });
  }

  /** Line of the cursor, as the status bar says it while a text has the focus. */
  async line() {
    const [text] = await this.page.locator("#status\\.editor\\.selection").allInnerTexts();
    return Number(/Ln (\d+)/.exec(text ?? "")?.[1] ?? NaN);
  }
}

export async function until(what, holds, seconds = 30) {
  const end = Date.now() + seconds * 1000;
  while (!(await holds())) {
    assert.ok(Date.now() < end, `waited in vain for ${what}`);
    await new Promise((resolve) => setTimeout(resolve, 100));
  }
}

function freePort() {
  return new Promise((resolve) => {
    const probe = net.createServer().listen(0, "127.0.0.1", () => {
      const { port } = probe.address();
      probe.close(() => resolve(port));
    });
  });
}
