/** From margins to the answer: what counts more than what, and what is said. */
import { describe, expect, test } from "vitest";
import type { Obstacle, Route } from "../../src/path/index.ts";
import { type Facts, judge } from "../../src/verdict/index.ts";
import { arm, facts, record } from "./made-facts.ts";

const bent = (angle: number) => record({ jointAngle: new Float64Array(arm.spans).fill(angle) });
const obstacle = (kind: Obstacle["kind"], is: number, needed: number): Obstacle => ({
  kind,
  place: [0, 0, 0],
  is,
  needed,
  body: 0,
  says: `${kind} it is`,
});
const closed = (status: Route["status"], ...obstacles: Obstacle[]) =>
  facts({ route: { status, obstacles, resolution: 1e-3 }, wayIn: [], wayOut: [], slack: undefined });

test("all margins hold: go, but with conditions as long as something is not computed, friction the first", () => {
  const verdict = judge(facts());
  expect(verdict.answer).toBe("go with conditions");
  expect(verdict.reasons).toEqual([]);
  expect(verdict.conditions[0]).toContain("cable friction");
  // reach is at 72 of 90 mm
  expect(verdict.says).toContain("reach, at 80 % of its limit");
});

test("one margin beyond its limit: no go by name and number", () => {
  const verdict = judge(facts({ wayIn: [bent(0.25)] }));
  expect(verdict.answer).toBe("no go");
  expect(verdict.says).toContain("Joint angle");
  // 0.25 rad = 14.3 deg against 0.2 rad = 11.5 deg
  expect(verdict.reasons).toHaveLength(1);
  expect(verdict.reasons[0]).toMatch(/14\.3 deg.*11\.5 deg/);
  expect(verdict.conditions).toEqual([]);
});

test("a warning is a condition with its number", () => {
  const { answer, conditions } = judge(facts({ wayIn: [bent(0.18)] }));
  expect(answer).toBe("go with conditions");
  expect(conditions.join(" ")).toContain("Joint angle is at 90 % of its limit");
});

describe("undecided, never go and never no go", () => {
  test("a margin that was not found, even beside one that is over; both are told", () => {
    const verdict = judge(facts({ wayIn: [record({ sag: Number.NaN, jointAngle: new Float64Array(arm.spans).fill(0.25) })] }));
    expect(verdict.answer).toBe("undecided");
    expect(verdict.reasons[0]).toContain("Sag: no balance was found");
    expect(verdict.reasons.join(" ")).toContain("Joint angle");
  });
  test("the arm could not be followed, with a margin over on the way", () => {
    const verdict = judge(facts({ failure: "at 50 mm: no balance was found.", wayIn: [bent(0.25)], wayOut: [], slack: undefined }));
    expect(verdict.answer).toBe("undecided");
    // the reason first, then the joint: 0.25 rad of 0.2
    expect(verdict.reasons.length).toBe(2);
    expect(verdict.reasons[0]).toBe("at 50 mm: no balance was found.");
    expect(verdict.reasons[1]).toContain("Joint angle");
    // what needs the full depth is not there
    expect(verdict.rows.map((row) => row.id)).not.toContain("pose");
  });
  test("the arm could not be followed at all: nothing to say but the reason", () => {
    const verdict = judge(facts({ failure: "at 10 mm: the arm is unstable there.", wayIn: [], wayOut: [], slack: undefined }));
    expect(verdict.answer).toBe("undecided");
    expect(verdict.rows).toEqual([]);
  });
  test("no route found, though the missing length shows in the reach", () => {
    const verdict = judge(closed("not-found", obstacle("length", 0.108, 0.09)));
    expect(verdict.answer).toBe("undecided");
    expect(verdict.reasons).toEqual(["length it is"]);
    // 108 of 90 mm
    expect(verdict.rows[0]?.id).toBe("reach");
    expect(verdict.rows[0]?.use).toBeCloseTo(1.2, 12);
  });
});

test.each([
  ["start", "port"],
  ["target", "target"],
  ["narrow", "way through"],
] as const)("proven that there is no passage (%s): no go, and where", (kind, where) => {
  const verdict = judge(closed("no-passage", obstacle(kind, 5e-3, 8e-3)));
  expect(verdict.answer).toBe("no go");
  expect(verdict.says).toContain(where);
  expect(verdict.reasons).toEqual([`${kind} it is`]);
  expect(verdict.rows).toEqual([]);
});

describe("conditions and what is not checked", () => {
  test("strain past the value for many cycles (0.4 %) is a condition, below it is none", () => {
    const at = (strain: number) =>
      judge(facts({ wayIn: [record({ strain: new Float64Array(arm.spans).fill(strain) })] })).conditions.join(" ");
    expect(at(0.005)).toContain("0.50 %");
    expect(at(0.0039)).not.toContain("cycles");
  });
  test("a tip that turns by more than two degrees is said", () => {
    const at = (twist: number) =>
      judge(facts({ wayIn: [record({ twist: new Float64Array(arm.spans + 1).fill(twist) })] })).conditions.join(" ");
    expect(at(-0.0524)).toContain("3 deg");
    expect(at(0.034)).not.toContain("turns by");
  });
  test("a route without reserve is said", () => {
    expect(judge(facts({ routeReserve: 0 })).conditions.join(" ")).toContain("no reserve");
    expect(judge(facts({ routeReserve: 0, need: Float64Array.of(0) })).conditions.join(" ")).not.toContain("no reserve");
  });
  test("what play and the port's tolerance do to the tip is said, part by part", () => {
    const loose = {
      hull: new Float64Array(arm.spans + 1),
      tip: Float64Array.of(3e-3, 0, 1.22e-3),
      aim: Float64Array.of(0.1, 0, 0.01),
      twist: 0,
    };
    const said = judge(facts({ wayIn: [record({ loose })] })).assumptions.join(" ");
    expect(said).toContain("play of the joints by up to 3 mm, by the port's tolerance of place and tilt by up to 1.2 mm");
    expect(said).not.toContain("play in the guide");
    expect(judge(facts()).assumptions.join(" ")).not.toContain("The tip may be moved");
  });
  test("what the arm says nothing of is named as not looked at", () => {
    const left = (change: object) =>
      judge(facts({ arm: { ...arm, description: { ...arm.description, ...change } } })).notChecked.join("; ");
    expect(left({})).toMatch(/play of the joints.*guide's exit.*give of the base/);
    const told = { nominal: 0, low: 0, high: 0 };
    const sections = arm.description.sections.map((section) => ({ ...section, play: { bend: told, twist: told } }));
    expect(left({ sections, base: { compliance: [0, 0, 0, 0, 0, 0], guidePlay: told } })).not.toMatch(/play|give of the base/);
  });
  test("each task names what it leaves open", () => {
    const left = (kind: "look" | "heat" | "work") => judge(facts({ target: { ...facts().target, kind } })).notChecked.join(" ");
    expect(left("look")).toContain("line of sight");
    expect(left("heat")).toContain("heat on the arm");
    expect(left("work")).toContain("tool force");
  });
  test("hot work and a tool that hangs have cautions of their own", () => {
    const heat = judge(facts({ target: { ...facts().target, kind: "heat" } })).cautions.join(" ");
    expect(heat).toContain("Hot work permit");
    expect(heat).toContain("suspended load");
    expect(judge(facts()).cautions.join(" ")).not.toContain("Hot work");
  });
});

test("a cable that lost all its pretension is slack: no go", () => {
  const v = judge(facts({ slack: { least: 0, cable: 2, roll: 1 } }));
  expect(v.rows.find((r) => r.id === "slack")?.state).toBe("over");
  expect(v.answer).toBe("no go");
});
test("a tool that touches, 60 degrees off the aim, is not in place", () => {
  const target = {
    ...facts().target,
    kind: "touch" as const,
    place: [0, 0, 0.072] as const,
    standOff: [0, 0] as const,
    direction: [Math.sqrt(3) / 2, 0, 0.5] as const,
  };
  expect(judge(facts({ target })).answer).toBe("no go");
});
test("remarks to confirm and what the task leaves open are conditions", () => {
  const v = judge(facts({ remarks: ["gallery.stl looks 1000 times too large."] }));
  for (const say of ["1000 times", "line of sight"]) expect(v.conditions.join(" ")).toContain(say);
});
test("stopped short at 50 mm: no row says 'at the target'", () => {
  const v = judge(facts({ failure: "x", wayIn: [record({ depth: 0.05, sag: 0.001 })], wayOut: [], slack: undefined }));
  expect(v.rows.map((r) => r.whereSays).join(" ")).not.toContain("at the target");
});
test("the way out has its own clearance", () => {
  const out = record({ asked: -0.2e-3, askedSeen: -0.2e-3, askedVertebra: 3, askedBody: 0 });
  expect(judge(facts({ wayOut: [out], branchGap: { shape: 0.4e-3, tension: 0, depth: 0.05, explained: 0 } })).answer).not.toMatch(/^go/);
});

describe("how well the arm is known", () => {
  const assumed = (from: Facts): string => judge(from).assumptions.join(" ");
  const clear = (spread: number) => {
    const made = facts({ spreads: { "cable-load": spread } });
    return judge(made).conditions.some((c) => c.includes("two standard deviations"));
  };

  test("an arm that was never fitted says so, and that its margins may be off by what nobody knows", () => {
    expect(assumed(facts({}))).toContain("never fitted");
    expect(assumed(facts({}))).toContain("not computed");
  });

  test("a margin that holds by less than two standard deviations is a condition", () => {
    // 8 N of 62.33 N: 54.33 N to spare
    expect(clear(27)).toBe(false);
    expect(clear(27.3)).toBe(true);
    expect(clear(Number.NaN)).toBe(false);
    const lost = judge(facts({ spreads: { "cable-load": Number.NaN } }));
    expect(lost.conditions.some((c) => c.includes("was not found"))).toBe(true);
  });
});
