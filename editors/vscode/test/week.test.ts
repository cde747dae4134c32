import assert from "node:assert/strict";
import { test } from "node:test";
import { type Cell, cellAt, moved } from "../src/week/chooser";
import { daysOn, parts, placeIn } from "../src/week/messages";

// Two days: closed until eight and from five on; then a day of one stretch.
const cells: Cell[] = [
  { day: 0, stretch: 0, minute: 0, to: 480 },
  { day: 0, stretch: 1, minute: 480, to: 1020 },
  { day: 0, stretch: 2, minute: 1020, to: 1440 },
  { day: 2, stretch: 0, minute: 0, to: 1440 },
];

test("the stretch of a minute is found, the last beyond the end", () => {
  assert.deepEqual([0, 479, 480, 1439, 1500].map((minute) => cellAt(cells, { day: 0, minute })), [0, 0, 1, 2, 2]);
  assert.equal(cellAt(cells, { day: 2, minute: 700 }), 3);
  assert.equal(cellAt(cells, { day: 1, minute: 0 }), -1);
  assert.equal(cellAt([], { day: 0, minute: 3 }), -1);
});

test("left and right lead over midnight, up and down to the day beside it that has stretches", () => {
  assert.deepEqual([0, 1, 2, 3].map((at) => moved(cells, at, "ArrowRight")), [1, 2, 3, 3]);
  assert.deepEqual([0, 1, 2, 3].map((at) => moved(cells, at, "ArrowLeft")), [0, 0, 1, 2]);
  assert.deepEqual([0, 1, 2, 3].map((at) => moved(cells, at, "ArrowDown")), [3, 3, 3, 3]);
  assert.deepEqual([0, 3].map((at) => moved(cells, at, "ArrowUp")), [0, 0]);
  assert.deepEqual(["Home", "End"].map((key) => moved(cells, 1, key)), [0, 2]);
  assert.equal(moved(cells, 1, "x"), undefined);
  assert.equal(moved([], 0, "ArrowLeft"), undefined);
});

test("a repair says what it comes to apart from what it does", () => {
  assert.deepEqual(parts("Set `a` of U to `b`: adds 119 h a week of dehumidification"), ["Set `a` of U to `b`", "adds 119 h a week of dehumidification"]);
  assert.deepEqual(parts("State that `occupied: x` is not wired"), ["State that `occupied: x` is not wired", ""]);
});

test("only what is a place is gone to", () => {
  const place = { uri: "file:///job/units.yaml", range: { start: { line: 3, character: 0 }, end: { line: 3, character: 4 } } };
  assert.deepEqual(placeIn(JSON.stringify(place)), place);
  assert.deepEqual([undefined, "", "{", "{}", "[1]", "null"].map(placeIn), [undefined, undefined, undefined, undefined, undefined, undefined]);
});

test("weeks go on over the ends of months and years, and changes of the clock", () => {
  assert.equal(daysOn("2027-12-27", 7), "2028-01-03");
  assert.equal(daysOn("2028-03-06", -7), "2028-02-28");
  assert.equal(daysOn("2027-03-08", 7), "2027-03-15");
});
