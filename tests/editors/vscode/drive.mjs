// A contractor's hour with the sample, in VS Code. node drive.mjs PROGRAM JOB WORK SHOTS CODE-SERVER BROWSER
import assert from "node:assert/strict";
import { spawnSync } from "node:child_process";
import fs from "node:fs";
import path from "node:path";
import { Editor, until } from "./editor.mjs";

const [program, job, work, shots, server, browser] = process.argv.slice(2);

const settings = {
  "workbench.colorTheme": "Default Dark Modern", "workbench.startupEditor": "none",
  "workbench.enableExperiments": false, "chat.commandCenter.enabled": false, "telemetry.telemetryLevel": "off", "files.autoSave": "off", "window.commandCenter": false,
};
const lines = (name) => fs.readFileSync(path.join(job, name), "utf8").split("\n");
/** The line with a text on it, and the text's column, from 1. */
const find = (name, text, after = 0) => {
  const line = lines(name).findIndex((line, i) => i >= after && line.includes(text));
  assert.ok(line >= 0, `no ${text} in ${name}`);
  return [line + 1, lines(name)[line].indexOf(text) + 1];
};
function review() {
  const { stdout } = spawnSync(program, ["review", job, "--format", "json"], { maxBuffer: 1 << 28 });
  return JSON.parse(stdout).findings;
}
const has = (findings, file, check) => findings.some((f) => f.file.endsWith(file) && f.check === check);

const before = review();
process.on("SIGTERM", () => process.exit(1));
const editor = await Editor.open({ server, work, job, settings, shots, browser });
const { page } = editor;
const done = [];
try {
  await editor.openFile("units.yaml");
  await page.locator(".squiggly-error").first().waitFor();
  await editor.counts(before.length);
  await editor.press("Control+Shift+M");
  await page.locator(".markers-panel .monaco-list-row", { hasText: "drycall" }).first().waitFor();
  await editor.shot("1-findings-dark");
  // The list draws only what is in sight.
  await page.locator(".markers-panel-container input, .pane-header input, .panel input").first().fill("Unknown point");
  const listed = page.locator(".markers-panel .monaco-list-row", { hasText: "Unknown point" });
  await listed.first().waitFor();
  // The name of the check leads to its page.
  await listed.first().locator("a", { hasText: "name-unknown" }).click();
  await editor.reads("Why it matters");
  await page.locator(".tab.active", { hasText: "name-unknown" }).locator(".codicon-close").click();
  done.push(`${before.length} findings as in the review`);

  // By mouse: the name that is misspelt, from its hover.
  const [line, column] = find("units.yaml", "AC1-DEHUMID");
  await editor.goTo(line, column);
  const fix = page.locator(".monaco-hover a", { hasText: "Quick Fix" });
  await until("the hover of the finding", async () => {
    // A text that has just scrolled may miss the mouse that comes to it.
    await page.mouse.move(700, 20);
    await page.locator(".view-line").getByText("AC1-DEHUMID").hover();
    return fix.waitFor({ timeout: 3000 }).then(() => true, () => false);
  });
  await fix.click();
  const offered = page.locator(".action-widget .monaco-list-row", { hasText: "Write `AC1-DEHUM`" }).first();
  await offered.waitFor();
  await editor.shot("2-repairs-by-mouse-dark");
  // The menu takes no click before the mouse has moved.
  await offered.hover({ force: true });
  await offered.click();
  await until("one finding less", async () => (await editor.count()) < before.length);
  await until("its row in the list to go", async () => (await listed.count()) === 0);
  const repaired = await editor.count();

  // By keyboard, with the week in sight: what keeps HP-2 from drying.
  await editor.command("drycall: Show a Unit's Week");
  await editor.answer("Which unit?", "HP-2");
  const week = editor.week();
  const cannot = week.locator(".dry-day .cannot");
  await cannot.first().waitFor();
  await week.locator(".dry-answer", { hasText: "HP-2 can never dehumidify" }).waitFor();
  await editor.shot("3-week-never-dark");
  await editor.goTo(...find("units.yaml", "HP-2:"));
  await editor.press("Control+.");
  // Not the first offered, which leaves the nights: down to the one that leaves no gap.
  const offers = page.locator(".action-widget .monaco-list-row");
  const chosen = { hasText: "Set `unoccupied-dehumidification` of `HP-2`" };
  await offers.filter(chosen).first().waitFor();
  const reached = () => page.locator(".action-widget .monaco-list-row.focused").filter(chosen).count();
  for (let row = 0; row < 12 && (await reached()) === 0; row++) await editor.press("ArrowDown");
  await editor.press("Enter");
  await until("one finding less", async () => (await editor.count()) < repaired);
  await week.locator(".dry-answer", { hasText: "HP-2 can dehumidify" }).waitFor();
  await until("the week without its gap", async () => (await cannot.count()) === 0);
  done.push("repairs by mouse and by keyboard, and the week follows");

  // The week of a unit with gaps: to the line that makes one, by keyboard and by mouse.
  await editor.press("Control+j");
  await week.locator("#unit").selectOption("CR-1");
  const answer = week.locator(".dry-answer");
  await answer.filter({ hasText: "228.5 h, Fri Mar 5 18:00 to Mon Mar 15 07:30" }).waitFor();
  assert.equal(await week.locator(".dry-day").count(), 7);
  assert.equal(await week.locator("#service option").count(), 3);
  // It opens where the gap begins, with what blocks first among the calls of that day.
  await week.locator(".dry-call.lit:visible", { hasText: "occupied" }).waitFor();
  await week.locator(".dry-why:visible h3", { hasText: "Why, Fri Mar 5 18:00" }).waitFor();
  const stretches = week.locator(".stretch[data-day='0']");
  await editor.click(stretches.nth(2));
  const [atWindow] = find("schedules.yaml", "mon-fri: 07:30-18:00");
  await until("the line of the window", async () => (await editor.line()) === atWindow);
  await editor.shot("4-week-dark");
  // From the gap back over the open hours to the one before, down a day and up again, to the same line.
  await editor.goTo(1, 1);
  await until("the top of the file", async () => (await editor.line()) === 1);
  await stretches.nth(2).focus();
  await editor.press("ArrowLeft", "ArrowLeft", "ArrowDown", "ArrowUp");
  assert.match(await week.locator(".stretch:focus").getAttribute("aria-label"), /^Fri Mar 5, 00:00 to 07:30: cannot run, gap of 13.5 h/);
  await editor.press("Enter");
  await until("the line of the window again", async () => (await editor.line()) === atWindow);
  await week.locator(".repairs .preview").first().waitFor();
  // What is supposed is drawn, and nothing is written.
  const written = lines("units.yaml").join("\n");
  await week.locator("#what-if-0").check();
  await answer.filter({ hasText: "CR-1 can dehumidify" }).waitFor();
  await editor.shot("4-what-if-dark");
  assert.equal(lines("units.yaml").join("\n"), written);
  await week.locator("#what-if-0").uncheck();
  await answer.filter({ hasText: "228.5 h" }).waitFor();
  // Another service, and a unit that has no such: what it has is shown, with something marked for the keyboard.
  await week.locator("#service").selectOption("cooling");
  await answer.filter({ hasText: "CR-1 can cool" }).waitFor();
  await week.locator("#unit").selectOption("DH-1");
  await answer.filter({ hasText: "DH-1 can dehumidify" }).waitFor();
  assert.equal(await week.locator(".stretch[tabindex='0'].chosen").count(), 1);
  // A date counts when it is typed to its end.
  await week.locator("#from").focus();
  await editor.press(..."06072027", "Enter");
  await until("the week of the date", async () => (await week.locator("#from").inputValue()) === "2027-06-07");
  await week.locator(".dry-name", { hasText: "Mon Jun 7" }).waitFor();
  await week.locator("#unit").selectOption("CR-1");
  await answer.filter({ hasText: "CR-1 cannot dehumidify" }).waitFor();
  // A built-in unit type is a reason too, and can be read.
  await week.locator(".dry-why:visible summary").click();
  await editor.click(week.locator(".dry-why:visible .dry-link", { hasText: "cooling-with-electric-reheat.yaml" }).first());
  await editor.reads("dehumidify and permitted and not cool-1");
  await editor.accessible();
  done.push("a gap of the week leads to its line");

  // A point that two files name, renamed in both; the disk must then say what the editor says.
  await editor.press("Control+k", "s");
  await editor.openFile("points/reading-room.yaml");
  await editor.goTo(...find("points/reading-room.yaml", "HP1-COOL1"));
  await editor.press("F2");
  const box = page.locator(".rename-box input");
  await box.fill("HP1-COOLING-CALL");
  await editor.press("Enter");
  await box.waitFor({ state: "hidden" });
  await editor.command("File: Save All");
  for (const name of ["points/reading-room.yaml", "units.yaml"]) {
    await until(`the new name in ${name}`, () => lines(name).some((line) => line.includes("HP1-COOLING-CALL")));
    assert.ok(!lines(name).some((line) => line.includes("HP1-COOL1")), `the old name stays in ${name}`);
  }
  const after = review();
  assert.ok(!has(after, "units.yaml", "dehumidification-never-runs") && !after.some((f) => f.message.includes("Unknown point")));
  await editor.counts(after.length);
  done.push("a point renamed in 2 files");

  // What else can be shown.
  for (const [command, question, choice, words] of [
    ["Show the Review Report", undefined, undefined, "error: Device instance 1201"],
    ["Show a Unit's Logic Chart", "Which unit?", "CR-1", "0 off, - either"],
    ["Explain a Check", "Which check?", "dehumidification-gap", "Why it matters"],
  ]) {
    await editor.command(`drycall: ${command}`);
    if (question !== undefined) await editor.answer(question, choice);
    await editor.reads(words);
  }
  await editor.shot("5-page-dark");
  done.push("review, chart and a check's page shown");

  // However often it is asked to restart, one server runs.
  for (let i = 0; i < 3; i++) await editor.command("drycall: Restart the Server");
  const servers = () => Number(spawnSync("pgrep", ["-fc", `${work}.*drycall serve`], { encoding: "utf8" }).stdout);
  await until("one server", () => servers() === 1);
  await editor.counts(after.length);
  assert.equal(servers(), 1);
  done.push("restarted three times, and one server runs");

  for (const [name, theme] of [["light", "Default Light Modern"], ["contrast", "Default High Contrast"]]) {
    await editor.again({ "workbench.colorTheme": theme });
    await editor.command("drycall: Show a Unit's Week");
    await editor.answer("Which unit?", "CR-1");
    await editor.week().locator(".dry-call.lit:visible").first().waitFor();
    await editor.shot(`6-week-${name}`);
    await editor.accessible();
  }

  done.push("no fault of accessibility in dark, light and high contrast");

  await editor.again({ "drycall.path": path.join(work, "nowhere") });
  await page.locator(".notification-toast", { hasText: "The drycall program was not found" }).waitFor();
  await page.locator(".notification-toast a", { hasText: "How to Install" }).click();
  await editor.week().getByRole("heading", { name: "Install" }).waitFor();
  await editor.shot("7-no-program");
  done.push("a missing program is told");
} catch (why) {
  await editor.shot("failed").catch(() => {});
  console.error(fs.readFileSync(path.join(work, "editor.log"), "utf8").slice(-2000));
  throw why;
} finally {
  await editor.close();
}
console.log(`vscode: ${done.join("; ")}`);
