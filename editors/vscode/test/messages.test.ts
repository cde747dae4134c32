import assert from "node:assert/strict";
import { test } from "node:test";
import { mayGoTo } from "../src/week/messages";

test("a page opens places of the job and of the library, and nothing else", () => {
  assert.deepEqual(["file", "drycall-library"].map(mayGoTo), [true, true]);
  const others = ["command", "http", "https", "vscode", "vscode-remote", "untitled", "data", "drycall", "FILE", ""];
  assert.ok(others.every((scheme) => !mayGoTo(scheme)));
});
