import assert from "node:assert/strict";
import { test } from "node:test";
import { type Day, type Week, barAt, bars, daysOn, stateWords } from "../src/week/week";

const line = (number: number) => ({ uri: "file:///job/schedules.yaml", range: { start: { line: number, character: 0 }, end: { line: number, character: 4 } } });

const day: Day = {
  date: "2027-06-07", name: "Mon 2027-06-07", minutes: 1440, clock: [],
  intervals: [
    { after: 0, minutes: 480, from: "00:00", to: "08:00", mode: "unoccupied", by: line(7), services: [{ state: 0, cause: line(7) }, { state: 0, cause: null }] },
    { after: 480, minutes: 540, from: "08:00", to: "17:00", mode: "occupied", by: line(7), services: [{ state: 1, cause: null }, { state: 0, cause: null }] },
    { after: 1020, minutes: 420, from: "17:00", to: "24:00", mode: "unoccupied", by: line(7), services: [{ state: 0, cause: line(9) }, { state: 0, cause: null }] },
  ],
};

const week: Week = {
  format: 1, unit: "HP-1", type: "t", zone: "stacks", "time-zone": "America/New_York", from: "2027-06-07", to: "2027-06-13",
  period: { from: "2027-01-01", to: "2027-12-31" }, modes: [], days: [day],
  services: [
    { service: "dehumidification", states: [
      { verdict: "never", unless: [], because: [{ text: "`occupied` is not wired", at: line(1) }, { text: "it is off", at: line(2) }] },
      { verdict: "conditional", unless: ["a first-stage cooling call", "CR1-OCC off"], because: [] },
    ] },
    { service: "cooling", states: [{ verdict: "always", unless: [], because: [] }] },
  ],
};

test("a lane says what holds from when to when", () => {
  assert.deepEqual(bars(week, day, 0).map(({ look, from, to }) => [look, from, to]), [
    ["unoccupied", "00:00", "08:00"], ["occupied", "08:00", "17:00"], ["unoccupied", "17:00", "24:00"],
  ]);
  assert.deepEqual(bars(week, day, 0).map(({ cause }) => cause?.range.start.line), [7, 7, 7]);
  assert.deepEqual(bars(week, day, 1).map(({ look, cause }) => [look, cause?.range.start.line]), [["never", 7], ["conditional", undefined], ["never", 9]]);
});

test("what does not change is one bar, whatever changes beside it", () => {
  assert.deepEqual(bars(week, day, 2).map(({ look, after, minutes, from, to }) => [look, after, minutes, from, to]), [["always", 0, 1440, "00:00", "24:00"]]);
});

test("two gaps with different causes stay two", () => {
  const [night, , evening] = day.intervals;
  const two = { ...day, intervals: [night!, { ...evening!, after: 480 }] };
  assert.deepEqual(bars(week, two, 1).map(({ cause }) => cause?.range.start.line), [7, 9]);
});

test("every verdict is told in words", () => {
  const [never, unless] = week.services[0]!.states;
  assert.deepEqual(stateWords(never!), ["cannot run", "cannot run: `occupied` is not wired; it is off"]);
  assert.deepEqual(stateWords(unless!), ["can run, unless …", "can run, unless blocked by a first-stage cooling call, or CR1-OCC off"]);
});

test("weeks go on over the ends of months and years, and changes of the clock", () => {
  assert.equal(daysOn("2027-12-27", 7), "2028-01-03");
  assert.equal(daysOn("2028-03-06", -7), "2028-02-28");
  assert.equal(daysOn("2027-03-08", 7), "2027-03-15");
});

test("the bar of a minute is found, the last beyond the end", () => {
  assert.deepEqual([0, 479, 480, 1439, 1500].map((minute) => barAt(day.intervals, minute)), [0, 0, 1, 2, 2]);
  assert.equal(barAt([], 3), -1);
});
