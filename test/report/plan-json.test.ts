import { readFileSync } from "node:fs";
import fc from "fast-check";
import { describe, expect, test } from "vitest";
import { InputError } from "../../src/base/index.ts";
import type { PlanResult } from "../../src/plan/index.ts";
import { planJson, readPlanJson } from "../../src/report/index.ts";
import { planGroups } from "../../src/report/plan-coding.ts";
import { makeBlocked, makePlan, makeRecord } from "./made-plan.ts";

/** Greatest difference of lengths allowed by the format, and of other numbers as a share of them. */
const lengthGap = 1e-9;
const share = 1e-9;

/** Everything in `a` is in `b`, of the same kind, numbers within the format's rounding. */
function expectSame(a: unknown, b: unknown, path = ""): void {
  if (typeof a === "number") {
    if (!Number.isFinite(a)) expect(b, path).toBe(a);
    else if (!(Math.abs((b as number) - a) <= Math.max(lengthGap, share * Math.abs(a)))) expect(b, path).toBe(a);
  } else if (typeof a === "object" && a !== null) {
    expect((b as object).constructor, path).toBe(a.constructor);
    const there = Object.keys(a).filter((key) => (a as Record<string, unknown>)[key] !== undefined);
    expect(Object.keys(b as object).sort(), path).toEqual(there.sort());
    for (const [key, value] of Object.entries(a))
      if (value !== undefined) expectSame(value, (b as Record<string, unknown>)[key], `${path}.${key}`);
  } else expect(b, path).toBe(a);
}

function faultsOf(text: string): InputError["faults"] {
  try {
    readPlanJson(text);
  } catch (error) {
    if (error instanceof InputError) return error.faults;
    throw error;
  }
  throw new Error("no fault was found");
}

/** The made-up plan's JSON, changed by hand. */
// biome-ignore lint/suspicious/noExplicitAny: it is damaged on purpose
function changed(change: (plan: Record<string, any>) => void): string {
  const plan = JSON.parse(planJson(makePlan()));
  change(plan);
  return JSON.stringify(plan);
}

describe("a plan's result as JSON", () => {
  test("comes back as it was, infinity, unknown numbers, typed arrays and absent fields too", () => {
    for (const plan of [makePlan(), makeBlocked()]) {
      const text = planJson(plan);
      const back = readPlanJson(text);
      expectSame(plan, back);
      expect(planJson(back)).toBe(text);
    }
    expect("turns" in readPlanJson(planJson(makeBlocked()))).toBe(false);
  });

  test("any numbers come back within 1e-9 m, or 1e-9 of their size (seed 11)", () => {
    const length = fc.oneof(fc.double({ min: -1e3, max: 1e3, noNaN: true }), fc.double({ min: -1e-6, max: 1e-6, noNaN: true }));
    const other = fc.oneof(
      fc.double({ noDefaultInfinity: true, noNaN: true }),
      fc.constantFrom(Number.POSITIVE_INFINITY, Number.NEGATIVE_INFINITY, Number.NaN),
    );
    const base = makeRecord(0.1);
    const record = fc.record({
      frames: fc.array(length, { minLength: 84, maxLength: 84 }), drawn: fc.array(length, { minLength: 6, maxLength: 6 }),
      tension: fc.array(other, { minLength: 6, maxLength: 6 }), residual: fc.double({ min: 0, max: 1, noNaN: true }), sag: fc.oneof(length, fc.constant(Number.NaN)),
    }).map((drawn) => ({ ...base, ...drawn, frames: Float64Array.from(drawn.frames), drawn: Float64Array.from(drawn.drawn), tension: Float64Array.from(drawn.tension) })); // biome-ignore format: one list
    fc.assert(
      fc.property(fc.array(record, { maxLength: 3 }), fc.string({ unit: "binary" }), other, (wayIn, job, use) => {
        const plan = makePlan();
        const rows = [{ ...plan.verdict.rows[0]!, use }];
        const whole: PlanResult = { ...plan, job, wayIn, verdict: { ...plan.verdict, rows } };
        const text = planJson(whole);
        const back = readPlanJson(text);
        expectSame(whole, back);
        expect(planJson(back)).toBe(text);
        // small residuals keep their size: they are not rounded away
        wayIn.forEach((from, k) => expect(Math.abs(back.wayIn[k]!.residual - from.residual)).toBeLessThanOrEqual(share * from.residual));
      }),
      { seed: 11 },
    );
  });

  test("every number in the text is finite JSON", () => {
    const text = planJson(makePlan());
    expect(text).not.toMatch(/NaN|Infinity/);
    expect(JSON.parse(text).wayIn[0].clearance[0]).toBeNull();
    expect(JSON.parse(text).verdict.rows[0].use).toBe("unknown");
  });

  test("what is no plan is refused with words", () => {
    expect(faultsOf("")[0]!.code).toBe("plan.text");
    expect(faultsOf(planJson(makePlan()).slice(0, 5000))[0]!.code).toBe("plan.text");
    for (const text of ["null", "[]", "3", '"go"']) expect(faultsOf(text)[0]!.code).toBe("plan.content");
  });

  test("another version is refused before anything else is judged", () => {
    for (const version of [0, 2, "1", null]) {
      const faults = faultsOf(changed((plan) => Object.assign(plan, { version, route: "gone" })));
      expect(faults.map((fault) => fault.code)).toEqual(["plan.version"]);
    }
    expect(faultsOf(changed((plan) => Object.assign(plan, { version: 2 })))[0]!.hint).toContain("newer");
    expect(faultsOf(changed((plan) => delete plan["version"]))[0]!.problem).toBe("is missing.");
  });

  test("all faults are told at once, each with its path and value", () => {
    const faults = faultsOf(
      changed((plan) => {
        plan["wayIn"][1].roll = "much";
        plan["wayIn"][2].status = "fine";
        plan["route"].curve.body[3] = 0.5;
        plan["verdict"].answer = "maybe";
        plan["extra"] = 1;
        delete plan["sweep"];
      }),
    );
    expect(faults.map((fault) => fault.path).sort()).toEqual([
      "extra",
      "route.curve.body[3]",
      "sweep",
      "verdict.answer",
      "wayIn[1].roll",
      "wayIn[2].status",
    ]);
    expect(faults.find((fault) => fault.path === "wayIn[1].roll")!.problem).toContain("much");
  });

  test("arrays that do not fit each other are refused", () => {
    const paths = faultsOf(
      changed((plan) => {
        plan["wayIn"][1].frames.pop();
        plan["wayOut"][0].tension.push(3);
        plan["wayIn"][0].firstFree = 7;
        plan["route"].curve.arc.pop();
      }),
    ).map((fault) => fault.path);
    expect(paths.sort()).toEqual(["route.curve.arc", "wayIn[0].firstFree", "wayIn[1].frames", "wayOut[0].tension"]);
  });
});

test("docs/plan-json.md explains every field of every group, and no other", () => {
  const text = readFileSync(new URL("../../docs/plan-json.md", import.meta.url), "utf8");
  const parts = new Map(
    text
      .split(/^## /m)
      .slice(1)
      .map((part) => [part.slice(0, part.indexOf("\n")).trim(), part] as const),
  );
  for (const [name, { fields }] of Object.entries(planGroups)) {
    const rows = [...(parts.get(name) ?? "").matchAll(/^\| `(\w+)` \|/gm)].map((found) => found[1]!);
    expect(rows.sort(), name).toEqual(Object.keys(fields).sort());
  }
});
