import { expect, test } from "vitest";
import type { Zone } from "../../src/space/index.ts";
import { judge } from "../../src/verdict/index.ts";
import { identity } from "../insertion/made-route.ts";
import { arm, facts, record } from "./made-facts.ts";

/** About the tool alone: its vertebra is at 42 mm, its end at 72 mm. */
const atTool: Zone["shape"] = { kind: "box", size: [0.1, 0.1, 0.02] };
const ahead = { ...identity, at: [0, 0, 0.075] as const };
const hot: Zone = { name: "hot leg", holds: { kind: "hot", temperature: 393.15 }, shape: atTool, placement: ahead };
const beam: Zone = { name: "beam", holds: { kind: "dose", rate: 60 / 3600 }, shape: { kind: "sphere", radius: 0.5 }, placement: identity };
const rated = (ratings: { temperature?: number; dose?: number }) => ({ ...arm, description: { ...arm.description, ratings } });

test("a hot zone against a rating: 100 K of rise where 130 K are borne, by the tool alone", () => {
  const verdict = judge(facts({ zones: [hot], arm: rated({ temperature: 423.15 }) }));
  const row = verdict.rows.find(({ id }) => id === "hot-zone");
  expect(row?.use).toBeCloseTo(100 / 130, 12);
  expect(row?.whereSays).toContain("the tool in hot leg");
  expect(verdict.conditions.some((text) => text.includes("hot leg"))).toBe(false);
});

test("without a rating it is a condition, with who enters from where; a zone that nothing enters says nothing", () => {
  const { rows, conditions } = judge(facts({ zones: [hot] }));
  expect(rows.some(({ id }) => id === "hot-zone")).toBe(false);
  const told = conditions.find((text) => text.includes("hot leg"));
  expect(told).toContain("the tool from 72 mm of depth on");
  expect(told).not.toContain("section");
  const away: Zone = { ...hot, placement: { ...identity, at: [0, 0, 1] } };
  expect(judge(facts({ zones: [away] })).conditions.some((text) => text.includes("hot leg"))).toBe(false);
});

test("a dose is the rate times the way at the feed rate and the stay: by hand", () => {
  // three depths 20 mm apart each way: 40 mm in, 40 mm out at 1 mm/s = 80 s; and 100 s of stay; at 60 Gy/h: 3 Gy of 4
  const depths = [0.032, 0.052, 0.072];
  const way = depths.map((depth) => record({ depth }));
  const verdict = judge(
    facts({ zones: [beam], wayIn: way, wayOut: [...way].reverse(), feedRate: 1e-3, stay: 100, arm: rated({ dose: 4 }) }),
  );
  const row = verdict.rows.find(({ id }) => id === "dose");
  expect(row?.use).toBeCloseTo(3 / 4, 12);
  expect(row?.whereSays).toContain("3 Gy against a rated 4 Gy");
  // two zones at one place add up
  const twice = judge(
    facts({ zones: [beam, { ...beam, name: "other" }], wayIn: way, wayOut: way, feedRate: 1e-3, stay: 100, arm: rated({ dose: 4 }) }),
  );
  expect(twice.rows.find(({ id }) => id === "dose")?.use).toBeCloseTo(6 / 4, 12);
  expect(twice.answer).toBe("no go");
});

test("what cannot be timed is told, never guessed", () => {
  const { rows, conditions } = judge(facts({ zones: [beam], arm: rated({ dose: 4 }) }));
  expect(rows.some(({ id }) => id === "dose")).toBe(false);
  expect(conditions.find((text) => text.includes("beam"))).toContain("no feed rate or no stay");
});

test("a tool with ratings of its own is held against them", () => {
  const own = {
    ...arm,
    description: {
      ...arm.description,
      ratings: { temperature: 423.15 },
      tool: { ...arm.description.tool, ratings: { temperature: 373.15 } },
    },
  };
  expect(judge(facts({ zones: [hot], arm: own })).rows.find(({ id }) => id === "hot-zone")?.use).toBeCloseTo(100 / 80, 12);
});
