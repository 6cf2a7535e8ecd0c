import { describe, expect, test } from "vitest";
import { createArm } from "../../src/arm/index.ts";
import type { FaultFinding, FaultResult, WayFound } from "../../src/faults/index.ts";
import { addFaults, layFaultLanes, type Verdict } from "../../src/verdict/index.ts";
import { twinArm } from "../rod/twin.ts";

const arm = createArm(twinArm({ sections: 2, spans: 8 }));
const bodies = [{ name: "shell", touch: { kind: "never", standOff: 0 } }] as never;
const deepest = 0.16;

function way(depth: number, outcome: WayFound["outcome"], by: WayFound["by"] = "hold", use = 0.01): WayFound {
  const stop = { depth: depth / 2, vertebra: 9, cable: -1, body: 0, is: -1e-3, limit: 0 };
  return {
    depth,
    outcome,
    by,
    ...(outcome === "out" ? {} : { stop: { ...stop, kind: outcome === "stuck" ? "touch" : "balance" } as const }),
    pull: 5,
    pullAt: depth / 2,
    pullUse: use,
    link: { kind: "rods", section: 1, strength: 5 / use, demand: 5 },
    pressed: [],
  };
}

function resultOf(...findings: FaultFinding[]): FaultResult {
  return { step: 0.02, findings, withoutFriction: true, strengthGiven: Number.NaN, notes: [] };
}

const before: Verdict = {
  answer: "go with conditions",
  says: "All computed margins hold.",
  reasons: [],
  rows: [],
  conditions: ["Not yet checked, to be settled before use: pull-out force and what would break first."],
  notChecked: ["pull-out force and what would break first"],
  assumptions: [],
  cautions: [],
};

const add = (faults: FaultResult, verdict = before) => addFaults(verdict, { arm, bodies, faults, deepest });
const rowOf = (verdict: Verdict, id: string) => verdict.rows.find((row) => row.id === id);

describe("margins of what may fail", () => {
  const always: FaultFinding = { kind: "broken", cable: 0, holding: [way(0.08, "out"), way(deepest, "out")], helping: [] };

  test("where everything comes out nothing is left unchecked: go, without conditions", () => {
    const verdict = add(resultOf(always));
    expect(verdict.answer).toBe("go");
    expect(verdict.conditions).toEqual([]);
    expect(verdict.notChecked).toEqual([]);
    expect(rowOf(verdict, "cable-broken")).toMatchObject({ use: 0, state: "ok" });
  });

  test("a plan that is no go stays it, and one that was not looked at names it", () => {
    expect(add(resultOf(always), { ...before, answer: "no go" }).answer).toBe("no go");
    expect(before.notChecked[0]).toContain("pull-out");
  });

  test("the depth down to which any one may fail is that of the first that does not come out", () => {
    const stuck: FaultFinding = {
      kind: "broken",
      cable: 3,
      holding: [way(0.04, "out"), way(0.08, "stuck"), way(deepest, "stuck")],
      helping: [way(0.08, "out", "plan"), way(0.12, "out", "ease"), way(deepest, "stuck", "limp")],
    };
    const verdict = add(resultOf(always, stuck));
    const row = rowOf(verdict, "cable-broken");
    // out by help down to 120 mm of 160
    expect(row).toMatchObject({ demand: deepest, limit: 0.12, state: "warning" });
    expect(row?.use).toBeCloseTo(0.16 / 0.12, 12);
    expect(row?.whereSays).toContain("cable 4 (section 2) broken");
    // what may fail turns no answer: it is a condition, with its reason
    expect(verdict.answer).toBe("go with conditions");
    expect(verdict.conditions.join(" ")).toContain("comes to shell, which must not be touched");
    const [lane] = layFaultLanes({ arm, bodies }, resultOf(always, stuck), [0.02, 0.04, 0.06, 0.08, 0.1, 0.12, 0.14, deepest]);
    expect(lane?.stretches.map(({ state }) => state)).toEqual(["ok", "helped", "stuck"]);
    // without gaps from the port to the target
    lane?.stretches.forEach((stretch, k) => {
      expect(stretch.from).toBe(k === 0 ? 0 : lane.stretches[k - 1]?.to);
    });
    expect(lane?.stretches.at(-1)?.to).toBe(deepest);
  });

  test("what was not found is neither out nor stuck", () => {
    const open: FaultFinding = { kind: "stalled", cable: 1, holding: [way(deepest, "stuck")], helping: [way(deepest, "unknown", "limp")] };
    const verdict = add(resultOf(open));
    expect(rowOf(verdict, "drive-stalled")?.state).toBe("warning");
    expect(verdict.conditions.join(" ")).toContain("it is not known whether the arm comes out");
    expect(layFaultLanes({ arm, bodies }, resultOf(open), [deepest])[0]?.stretches[0]?.state).toBe("unknown");
  });

  test("the pull is told by the link that is nearest to its strength, with what stays inside", () => {
    const weak: FaultFinding = { kind: "locked", cable: -1, holding: [way(deepest, "out", "hold", 0.9)], helping: [] };
    const row = rowOf(add(resultOf(always, weak)), "pull-out");
    expect(row).toMatchObject({ use: 0.9, demand: 5, state: "warning" });
    expect(row?.note).toContain("section 2, sensor");
  });
});
