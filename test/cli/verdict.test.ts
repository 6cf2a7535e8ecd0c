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
        id: "clearance", title: "Clearance", demand: 0.0015, limit: 0.002, unit: "m", use: 0.75, warnAbove: 0.8, state: "ok", where: { way: "in", depth: 0.4 },
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
    expect(text).toMatch(/75 %\s+ok\s+Clearance\s+1\.5 mm\s+2 mm\s+way in, 400 mm, port plate/);
  });

  it("in inch units", () => {
    expect(sayVerdict(result, "inch")).toMatch(/Clearance\s+0\.0591 in\s+0\.0787 in/);
  });

  it("gives a machine the same, with the files that were written", () => {
    const told = JSON.parse(JSON.stringify(verdictData(result, ["out/plan.json"])));
    expect(told.verdict.answer).toBe("go with conditions");
    expect(told.written).toEqual(["out/plan.json"]);
    // a use without limit is not a number in JSON
    expect(told.verdict.rows[1].use).toBeNull();
  });
});
