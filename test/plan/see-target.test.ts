/** What is seen from a known pose, the arm's own body in the line, and the aims that are left where something stands before the place. */
import { describe, expect, test } from "vitest";
import { createArm } from "../../src/arm/index.ts";
import { enterCylinder } from "../../src/plan/cut-by-arm.ts";
import { narrowAims } from "../../src/plan/narrow-aims.ts";
import { seeTarget } from "../../src/plan/see-target.ts";
import { type Body, createSpace, type Target } from "../../src/space/index.ts";
import { judge, type MarginRow } from "../../src/verdict/index.ts";
import { identity } from "../insertion/made-route.ts";
import { twinArm } from "../rod/twin.ts";
import { facts, record } from "../verdict/made-facts.ts";

const camera = { fieldOfView: Math.PI / 2, pixels: 1000, focus: [0.02, 0.1] as const };
const bare = twinArm({ sections: 2, spans: 3, pretension: 8 });
const arm = createArm({ ...bare, tool: { ...bare.tool, camera } });

/** The tool point of the made record is at z = 72 mm, looking along z; a wall's face 40 mm ahead, tilted about x. */
function wall(tilt: number): Body {
  const [c, s] = [Math.cos(tilt), Math.sin(tilt)];
  // its face z' = 0 passes through the place; the wall lies behind
  const at = [0, -0.05 * s, 0.112 + 0.05 * c] as const;
  return {
    name: "wall",
    touch: { kind: "free" },
    placement: { at, rotation: [1, 0, 0, 0, c, -s, 0, s, c] },
    shape: { kind: "box", size: [1, 1, 0.1] },
  };
}

const target: Target = {
  name: "weld",
  kind: "look",
  place: [0, 0, 0.112],
  direction: [0, 0, 1],
  cone: 0.1,
  standOff: [0.03, 0.05],
  tolerance: 4e-3,
  indication: 5e-4,
};

function rowsOf(bodies: readonly Body[], change: Partial<Target> = {}): Map<string, MarginRow> {
  const wanted = { ...target, ...change };
  const sight = seeTarget(arm, createSpace(bodies), wanted, record());
  return new Map(judge(facts({ arm, bodies, target: wanted, sight })).rows.map((row) => [row.id, row]));
}

describe("40 mm before a face that is tilted by 30 degrees, off by up to 4 mm", () => {
  const rows = rowsOf([wall(Math.PI / 6)]);
  test("viewing angle: 30 degrees and asin(4 / 40) more, of 60", () => {
    expect(rows.get("view-angle")?.demand).toBeCloseTo(Math.PI / 6 + Math.asin(0.1), 6);
    expect(rows.get("view-angle")?.limit).toBeCloseTo(Math.PI / 3, 12);
  });
  test("focus: 44 mm of 100 mm, and 20 mm of 36 mm, which is tighter", () => {
    expect(rows.get("focus")?.use).toBeCloseTo(20 / 36, 9);
  });
  test("a pixel: 2 x 40 tan 45 / 1000 = 0.08 mm, over cos 30; at the worst 0.088 over the cosine of the worst angle", () => {
    const said = seeTarget(arm, createSpace([wall(Math.PI / 6)]), target, record()).look;
    expect(said?.pixel).toBeCloseTo(8e-5, 12);
    expect(said?.footprint).toBeCloseTo(8e-5 / Math.cos(Math.PI / 6), 9);
    const worst = 8.8e-5 / Math.cos(Math.PI / 6 + Math.asin(0.1));
    expect(rows.get("detail")?.demand).toBeCloseTo(3 * worst, 9);
    expect(rows.get("detail")?.use).toBeCloseTo((3 * worst) / 5e-4, 5);
  });
  test("line of sight: the camera may shift by 40 cos 30, within the stride of the walk", () => {
    const room = 0.04 * Math.cos(Math.PI / 6);
    expect(rows.get("sight")?.limit).toBeLessThanOrEqual(room);
    expect(rows.get("sight")?.limit).toBeGreaterThan(0.94 * room);
  });
  test("in the picture: straight ahead", () => {
    expect(rows.get("in-view")?.demand).toBeCloseTo(0, 9);
    expect(rows.get("in-view")?.limit).toBeCloseTo(Math.PI / 4, 12);
  });
});

test("a wall between is seen: no line of sight, no go, and it is named", () => {
  const screen: Body = {
    name: "screen",
    touch: { kind: "free" },
    placement: { ...identity, at: [0, 0, 0.09] },
    shape: { kind: "box", size: [0.02, 0.02, 0.001] },
  };
  const bodies = [wall(0), screen];
  const sight = seeTarget(arm, createSpace(bodies), target, record());
  const verdict = judge(facts({ arm, bodies, target, sight }));
  expect(verdict.answer).toBe("no go");
  expect(verdict.rows[0]).toMatchObject({ id: "sight", state: "over", use: Number.POSITIVE_INFINITY });
  expect(verdict.rows[0]?.whereSays).toContain("cut by screen");
});

test("a given normal counts, and a probe has an angle of its own", () => {
  const s = Math.sin(0.2);
  const normal = [0, s, -Math.cos(0.2)] as const;
  expect(rowsOf([wall(0)], { normal }).get("view-angle")?.demand).toBeCloseTo(0.2 + Math.asin(0.1), 9);
  const { indication, ...plain } = target;
  void indication;
  const probe: Target = { ...plain, kind: "measure", mostTilt: 0.25, normal };
  const sight = seeTarget(arm, createSpace([wall(0)]), probe, record());
  const verdict = judge(facts({ arm, bodies: [wall(0)], target: probe, sight }));
  expect(verdict.rows.find((row) => row.id === "tool-angle")?.use).toBeCloseTo(0.2 / 0.25, 9);
  expect(verdict.rows.some((row) => row.id === "sight")).toBe(false);
});

describe("a line and a closed cylinder (by hand): radius 1 about z from 0 to 2", () => {
  const enter = (from: [number, number, number], to: [number, number, number]) => enterCylinder(from, to, [0, 0, 0], [0, 0, 2], 1);
  test.each([
    [[-3, 0, 1], [3, 0, 1], 2 / 6],
    [[0, 0, -2], [0, 0, 2], 0.5],
    [[0.5, 0, 4], [0.5, 0, 0], 0.5],
    [[0, 0.2, 1], [5, 5, 5], 0],
    [[-3, 0.6, 1], [3, 0.6, 1], (3 - 0.8) / 6],
  ] as const)("enters from %j to %j", (from, to, share) => {
    expect(enter([...from], [...to])).toBeCloseTo(share, 12);
  });
  test.each([
    [
      [-3, 1.01, 1],
      [3, 1.01, 1],
    ],
    [
      [-3, 0, 2.1],
      [3, 0, 2.1],
    ],
    [
      [0, 0, 5],
      [0, 0, 2.5],
    ],
    [
      [2, 0, -1],
      [0, 0, -0.1],
    ],
  ] as const)("passes by from %j to %j", (from, to) => {
    expect(enter([...from], [...to])).toBeUndefined();
  });
});

test("a post before the place: the aims that are left keep clear of it, and none is left when it is walled off", () => {
  const wide: Target = { ...target, cone: 0.6, standOff: [0.05, 0.05], tolerance: 1e-3 };
  const post: Body = {
    name: "post",
    touch: { kind: "free" },
    placement: { ...identity, at: [0, -0.5, 0.092] },
    shape: { kind: "box", size: [0.008, 2, 0.002] },
  };
  expect(narrowAims(arm, createSpace([wall(0)]), wide)).toBeUndefined();
  const space = createSpace([wall(0), post]);
  const left = narrowAims(arm, space, wide) ?? [];
  expect(left.length).toBeGreaterThan(1);
  for (const { aim, cone } of left) {
    // 20 mm from the place the post's edge is 4 mm aside: the line must lean by more than atan(4 / 19) in x
    const lean = Math.abs(Math.atan2(aim[0], aim[2]));
    expect(lean - cone).toBeGreaterThan(Math.atan(4 / 21));
    expect(Math.acos(aim[2]) + cone).toBeLessThanOrEqual(0.6 + 1e-9);
  }
  const lid: Body = { ...post, placement: { ...identity, at: [0, 0, 0.092] }, shape: { kind: "box", size: [1, 1, 0.002] } };
  expect(narrowAims(arm, createSpace([wall(0), lid]), wide)).toBeUndefined();
});
