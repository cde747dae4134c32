import assert from "node:assert/strict";
import { chmodSync, mkdirSync, mkdtempSync, rmSync, writeFileSync } from "node:fs";
import { tmpdir } from "node:os";
import { delimiter, join } from "node:path";
import { after, test } from "node:test";
import { findProgram } from "../src/program";

const root = mkdtempSync(join(tmpdir(), "drycall-"));
after(() => rmSync(root, { recursive: true }));

const name = process.platform === "win32" ? "drycall.exe" : "drycall";

function program(folder: string, mode = 0o755): string {
  const file = join(root, folder, name);
  mkdirSync(join(root, folder), { recursive: true });
  writeFileSync(file, "");
  chmodSync(file, mode);
  return file;
}

test("the configured program is taken, and nothing else in its place", () => {
  const configured = program("own");
  const shipped = program("with-server/server");
  assert.equal(findProgram(configured, join(root, "with-server"), ""), configured);
  assert.equal(findProgram(join(root, "nowhere"), join(root, "with-server"), ""), undefined);
  assert.equal(findProgram("", join(root, "with-server"), ""), shipped);
});

test("the search path is looked through in order", () => {
  const [first, second] = [program("a"), program("b")];
  mkdirSync(join(root, "folder", name), { recursive: true });
  const path = [join(root, "missing"), "", join(root, "folder"), join(root, "a"), join(root, "b")].join(delimiter);
  assert.equal(findProgram("", root, path), first);
  assert.equal(findProgram("", root, join(root, "b")), second);
  assert.equal(findProgram("", root, ""), undefined);
});

test("what may not be run is no program", { skip: process.platform === "win32" || process.getuid?.() === undefined }, () => {
  program("text", 0o644);
  assert.equal(findProgram("", root, join(root, "text")), undefined);
});

test("a relative folder of the search path is passed over, since it may be the opened one", () => {
  const working = process.cwd();
  const inside = program("opened");
  program("opened/node_modules/.bin");
  try {
    process.chdir(join(root, "opened"));
    const path = [".", "", join("node_modules", ".bin")].join(delimiter);
    assert.equal(findProgram("", join(root, "nowhere"), path), undefined);
    assert.equal(findProgram("", join(root, "nowhere"), [path, join(root, "opened")].join(delimiter)), inside);
  } finally {
    process.chdir(working);
  }
});
