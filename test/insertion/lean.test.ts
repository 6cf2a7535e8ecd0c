import { describe, expect, test } from "vitest";
import { createInsertionState, createInsertionWork, stepInsertion } from "../../src/insertion/index.ts";
import { type Body, createSpaceAnswer, createSpaceWork, sampleSpace } from "../../src/space/index.ts";
import { twinArm } from "../rod/twin.ts";
import { bentRoute, identity, insertionAlong, runInsertion, spaceOf } from "./made-route.ts";

const arm = twinArm({ sections: 2, spans: 8 });
const bodyRadius = 8e-3;

/** About the route of `bentRoute(0.04, 0.2, 0)`. */
function bore(radius: number, touch: Body["touch"] = { kind: "free" }): Body {
  return {
    name: "bore",
    placement: identity,
    touch,
    shape: {
      kind: "bore",
      points: [
        { at: [0, 0, 0.1], radius, bend: 0 },
        { at: [0, 0, -0.24], radius, bend: 0.2 },
        { at: [0.25, 0, -0.24], radius, bend: 0 },
      ],
    },
  };
}

function along(need: readonly number[]) {
  const route = bentRoute(0.04, 0.2, 0);
  // as far as this arm reaches
  const count = route.arc.findIndex((s) => s > 0.14);
  return insertionAlong(arm, { ...route, count }, [0, 0, -9.81], need);
}

describe("an arm laid in a bent bore that is hardly wider than it", () => {
  const model = along([0]);
  const slack = 1.3e-3;
  const body = bore(bodyRadius + slack);
  const space = spaceOf(body);
  const state = runInsertion(model, space);
  const held = [...state.wayIn, ...state.wayOut].filter((record) => record.contact?.state === "held" && record.contact.vertebra.length > 0);

  test("it leans on the wall at some depths, and every shape is balanced by a second computation", () => {
    expect(state.failure).toBe("");
    expect(state.wayOut.length).toBe(state.wayIn.length);
    expect(held.length).toBeGreaterThan(2);
    for (const record of [...state.wayIn, ...state.wayOut]) {
      expect(record.status).toBe("stable");
      expect(record.residual).toBeLessThan(1e-7);
    }
  });

  test("where it leans it is not in the wall, and the wall pushes it away from where it is nearest, at its surface", () => {
    const answer = createSpaceAnswer(1);
    const work = createSpaceWork(space);
    const ask = (at: Float64Array): Float64Array => {
      sampleSpace(space, at, 1, 1, answer, work);
      return answer.closest;
    };
    for (const { contact, clearance, frames } of held) {
      // sunk 10 um a newton; corners of a rim, 3.4 % of 8 mm; the clearance's own bound, 0.1 mm; the grid, 0.05 mm
      const most = Math.max(...contact!.pressed);
      for (const value of clearance) expect(value).toBeGreaterThan(-(1e-5 * most + 0.034 * bodyRadius + 0.15e-3));
      for (let t = 0; t < contact!.vertebra.length; t++) {
        const push = contact!.force.subarray(3 * t, 3 * t + 3);
        const centre = frames.slice(12 * contact!.vertebra[t]! + 9, 12 * contact!.vertebra[t]! + 12);
        // the bore's surface lies between a vertebra and whatever pushes it
        const toWall = ask(contact!.place.slice(3 * t, 3 * t + 3)).map((value, r) => value - centre[r]!);
        expect(push.reduce((sum, value, r) => sum + value * toWall[r]!, 0)).toBeLessThan(0);
        const place = contact!.place.slice(3 * t, 3 * t + 3);
        const off = Math.hypot(...ask(place).map((value, r) => value - place[r]!));
        // the mean of the corners of a rim's lower half is a third of the radius within it
        expect(off).toBeLessThan(bodyRadius / 3);
      }
    }
  });

  test("without the walls the same commands would put it into them", () => {
    const far = spaceOf({ ...body, touch: { kind: "never", standOff: 0 } });
    const through = runInsertion(along([0]), far);
    const least = (records: typeof state.wayIn): number => Math.min(...records.map((record) => record.leastClearance));
    expect(least(through.wayIn)).toBeLessThan(least(state.wayIn) - 0.05e-3);
    for (const record of through.wayIn) expect(record.contact).toBeUndefined();
  });

  test("cancelled after every step and resumed from a copy with a fresh workspace: the same bits", () => {
    let again = createInsertionState(model);
    while (again.stage !== "done" && again.wayIn.length < 6) {
      again = structuredClone(again);
      stepInsertion(model, space, again, createInsertionWork(model, space));
    }
    expect(again.wayIn).toEqual(state.wayIn.slice(0, again.wayIn.length));
  });
});

test("where the job tells friction of the walls, leaning shapes are balanced with it, one way in and the other out", () => {
  const space = spaceOf(bore(bodyRadius + 0.4e-3));
  const rough = runInsertion({ ...along([0]), wallFriction: 0.3 }, space);
  const smooth = runInsertion(along([0]), space);
  expect(rough.failure).toBe("");
  const both = (["wayIn", "wayOut"] as const).flatMap((way) =>
    rough[way]
      .map((record, k) => [record, smooth[way][k]!] as const)
      .filter(([a, b]) => a.contact?.state === "held" && b.contact?.state === "held"),
  );
  const touching = both.filter(([record]) => record.contact!.force.some((value) => value !== 0));
  expect(touching.length).toBeGreaterThan(0);
  for (const [record, bare] of touching) {
    expect(record.residual).toBeLessThan(1e-7);
    // the cables hold what the walls rub, which without friction they need not
    expect(Math.max(...record.tension.map((t, c) => Math.abs(t - bare.tension[c]!)))).toBeGreaterThan(1e-4);
  }
});

test("in a wide bore nothing is touched, and nothing is told of contact", () => {
  const state = runInsertion(along([0]), spaceOf(bore(20e-3)));
  expect(state.failure).toBe("");
  for (const record of [...state.wayIn, ...state.wayOut]) expect(record.contact).toBeUndefined();
});
