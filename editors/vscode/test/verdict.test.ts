import assert from "node:assert/strict";
import { test } from "node:test";
import { type Counted, verdict } from "../src/verdict";

const never = (place: string): Counted => ({ check: "dehumidification-never-runs", level: "error", place });
const note: Counted = { check: "point-unused", level: "note", place: "points.yaml:3" };

test("the units that never dry are told first, each once", () => {
  assert.equal(verdict([note, never("units.yaml:19")], true).text, "$(error) drycall: 1 unit never dries");
  const both = verdict([never("units.yaml:19"), never("units.yaml:19"), note, never("units.yaml:40")], true);
  assert.equal(both.text, "$(error) drycall: 2 units never dry");
  assert.equal(both.tooltip, "3 errors, 0 warnings, 1 note");
});

test("without such a unit the findings are counted", () => {
  assert.equal(verdict([note], true).text, "$(comment-unresolved) drycall: 1");
});

test("only a job that is checked has nothing wrong", () => {
  assert.match(verdict([], true).text, /check/);
  const none = verdict([], false);
  assert.doesNotMatch(none.text, /\$\(check\)/);
  assert.match(none.tooltip, /no job in them is checked/);
});
