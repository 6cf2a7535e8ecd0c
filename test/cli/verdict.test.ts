import { describe, expect, it } from "vitest";
import { sayVerdict, verdictData } from "../../apps/cli/say-verdict.ts";
import type { PlanResult } from "../../src/plan/index.ts";

const result: PlanResult = {
  version: 1,
  withy: "0.0.0",
  job: "a job",
  arm: "an arm",
  inputs: [{ file: "job.yaml", hash: "00" }],
  route: { status: "found", obstacles: [], resolution: 0.001 },
  wayIn: [],
  wayOut: [],
  sweep: { allowance: 0, confirmed: 0 },
  turns: [{ says: "shorter", answer: "no go", uses: {}, tightest: "clearance at 120 %" }],
  verdict: {
    answer: "go with conditions",
    says: "It goes.",
    reasons: ["a reason"],
    rows: [
      {
        id: "clearance", title: "Clearance", demand: 0.0015, limit: 0.002, unit: "m", use: 0.75, warnAbove: 0.8, state: "ok", where: { way: "in", depth: 0.4, body: 0 },
        whereSays: "way in, 400 mm, port plate", gains: [{ says: "1 N more gives 0.1 mm", from: "estimated" }], note: "hulls, not skins",
      },
      {
        id: "reach", title: "Reach", demand: 1, limit: 0, unit: "m", use: Number.POSITIVE_INFINITY, warnAbove: 0.9, state: "over", where: {},
        whereSays: "target", gains: [],
      },
    ],
    conditions: ["a condition"],
    notChecked: ["friction"],
    assumptions: ["an assumption"],
    cautions: ["a caution"],
  },
}; // biome-ignore format: a result

describe("a verdict in the terminal", () => {
  it("says everything that it rests on", () => {
    const text = sayVerdict(result, "metric");
    for (const part of [
      "GO WITH CONDITIONS: a job, arm an arm",
      "It goes.",
      "a reason",
      "a condition",
      "friction",
      "an assumption",
      "a caution",
      "1 N more gives 0.1 mm (estimated)",
      "shorter: no go. clearance at 120 %",
      "hulls, not skins",
    ]) {
      expect(text).toContain(part);
    }
    expect(text).toMatch(/75 %\s+holds\s+Clearance\s+2 mm\s+at least 1\.5 mm\s+way in, 400 mm, port plate/);
  });

  it("shows no raw number that is none, and says once what was not checked", () => {
    const row = result.verdict.rows[0]!;
    const verdict = {
      ...result.verdict,
      rows: [
        { ...row, id: "sag", title: "Sag", demand: Number.NaN, use: Number.NaN, state: "unknown" as const },
        { ...row, where: {}, use: 0, whereSays: "nothing is near" },
        { ...row, id: "strain", title: "Strain", unit: "1" as const, demand: 0.0165, limit: 0.04, use: 0.4125 },
      ],
      conditions: ["Not yet checked: friction; contact.", "count the entries"],
      notChecked: ["friction", "contact"],
    };
    const text = sayVerdict({ ...result, verdict }, "metric");
    expect(text).not.toMatch(/undefined|NaN|Infinity|unlimited/);
    expect(text).toMatch(/\? +not known +Sag +not known +at most 2 mm/);
    expect(text).toMatch(/Clearance +none near +at least 1\.5 mm +nothing is near/);
    expect(text).toMatch(/41 % +holds +Strain +1\.65 % +at most 4 %/);
    expect(text.match(/friction/g)?.length).toBe(1);
    expect(text).toContain("count the entries");
    expect(text).toContain("Not checked yet: settle before use");
  });

  it("in inch units", () => {
    expect(sayVerdict(result, "inch")).toMatch(/Clearance\s+0\.0787 in\s+at least 0\.0591 in/);
  });

  it("gives a machine the same, with the files that were written", () => {
    const told = JSON.parse(JSON.stringify(verdictData(result, ["out/plan.json"])));
    expect(told.verdict.answer).toBe("go with conditions");
    expect(told.written).toEqual(["out/plan.json"]);
    // a use without limit is not a number in JSON
    expect(told.verdict.rows[1].use).toBeNull();
  });
});
