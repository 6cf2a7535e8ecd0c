import { expect, test } from "vitest";
import { createArm } from "../../src/arm/index.ts";
import { holdAt, type TipStiffness, tipBand } from "../../src/capacity/index.ts";
import { solveLocked } from "../../src/rod/index.ts";
import { twinArm } from "../rod/twin.ts";
import { earth, fullLength, lockOf, plainRequest, stiffnessOf } from "./run.ts";

const description = { ...twinArm({ sections: 3, spans: 6, pretension: 12 }), conduitStiffness: 3e4, driveStiffness: 6e4 };
const arm = createArm(description);
const bend = Float64Array.of(0.3, -0.2, 0.1, 0.4, 0, 0.2);
const hold = holdAt(arm, plainRequest(arm, { gravity: earth, bend }), fullLength(arm));
const found = stiffnessOf(arm, hold) as TipStiffness;
const gives = (s: TipStiffness) => [...s.axes, s.along, s.acrossMost, s.acrossLeast];

test("the ellipsoid is what small forces do: locked solves with a force along each principal axis, both ways, by differences", () => {
  const { lock, work } = lockOf(arm, hold);
  const h = 1e-3;
  for (const axis of gives(found)) {
    const at = [1, -1].map((sign) => {
      const force = axis.direction.map((d) => sign * h * d) as unknown as [number, number, number];
      const point = { vertebra: arm.spans, force, at: [0, 0, arm.description.tool.length] as const };
      work.trial.strain.set(lock.rod.strain);
      work.trial.tension.set(lock.rod.tension);
      const load = { gravity: earth, forces: [point] };
      expect(solveLocked(arm, load, hold.stance, lock.free, work.trial, work.rod, { ramp: false, tolerance: 1e-12 }).status).toBe("stable");
      const f = work.rod.frame.subarray(12 * arm.spans);
      return [0, 1, 2].map((r) => (f[9 + r] as number) + arm.description.tool.length * (f[3 * r + 2] as number));
    });
    const way = axis.direction.reduce((sum, d, k) => sum + d * ((at[0]?.[k] as number) - (at[1]?.[k] as number)), 0);
    // differences: second order in a force that moves the tip by micrometres
    expect(Math.abs(way / (2 * h) / axis.give - 1)).toBeLessThan(1e-5);
  }
});

test("axes: softest first, square to each other; parts add up, and every part takes a share", () => {
  const [a, b, c] = found.axes;
  expect(a.give).toBeGreaterThan(b.give);
  expect(b.give).toBeGreaterThan(c.give);
  expect(found.acrossMost.give).toBeGreaterThanOrEqual(found.acrossLeast.give);
  expect(found.acrossMost.give).toBeLessThanOrEqual(a.give * (1 + 1e-12));
  expect(found.along.give).toBeGreaterThanOrEqual(c.give * (1 - 1e-12));
  for (const [p, q] of [
    [a, b],
    [b, c],
    [c, a],
  ] as const) {
    // biome-ignore format: three pairs
    expect(p.direction.reduce((sum, x, k) => sum + x * (q.direction[k] as number), 0)).toBeCloseTo(0, 10);
  }
  for (const g of gives(found)) {
    expect(g.backbone + g.strandInArm + g.strandInConduit + g.conduit + g.drive + g.base).toBeCloseTo(g.give, 12);
    for (const part of [g.strandInArm, g.strandInConduit, g.conduit, g.drive]) expect(part).toBeGreaterThan(0);
  }
});

test("the parts are what is gained when a part is made rigid, to first order: a drive 1 % stiffer", () => {
  const stiffer = createArm({ ...description, driveStiffness: 6e4 * 1.01 });
  const other = stiffnessOf(stiffer, holdAt(stiffer, plainRequest(stiffer, { gravity: earth, bend }), fullLength(stiffer)));
  const gained = found.acrossMost.give - (other as TipStiffness).acrossMost.give;
  // dC = -C' K dS K C: the part itself times the change of its compliance; second order 1 %
  expect(Math.abs(gained / (found.acrossMost.drive * (1 - 1 / 1.01)) - 1)).toBeLessThan(0.02);
});

test("shorter is stiffer; a rigid drive and conduit are stiffer; an arm that cannot be locked has no stiffness", () => {
  const short = stiffnessOf(arm, holdAt(arm, plainRequest(arm, { gravity: earth, bend: new Float64Array(6) }), 0.6 * fullLength(arm)));
  const whole = stiffnessOf(arm, holdAt(arm, plainRequest(arm, { gravity: earth, bend: new Float64Array(6) }), fullLength(arm)));
  expect(short?.acrossMost.give).toBeLessThan(whole?.acrossMost.give as number);
  const rigid = createArm({ ...description, conduitStiffness: 1e30, driveStiffness: 1e30 });
  const best = stiffnessOf(rigid, holdAt(rigid, plainRequest(rigid, { gravity: earth, bend }), fullLength(rigid)));
  expect(best?.acrossMost.give).toBeLessThan(found.acrossMost.give);
  expect(best?.acrossMost.drive).toBeLessThan(1e-20);
  const single = createArm(twinArm({ single: true }));
  expect(stiffnessOf(single, holdAt(single, plainRequest(single, { gravity: earth }), fullLength(single)))).toBeUndefined();
});

test("the friction band of the tip: none without friction, wider with more of it, not known where nothing is locked", () => {
  const bandOf = (high: number) => {
    const friction = { holes: { nominal: high / 2, low: 0, high }, conduit: { nominal: high / 2, low: 0, high }, conduitTurn: 1 };
    const rubbed = createArm({ ...description, friction });
    const { lock, work } = lockOf(rubbed, hold);
    return tipBand(rubbed, hold, lock, work);
  };
  expect(bandOf(0)).toEqual({ shift: 0, turn: 0 });
  const [some, more] = [bandOf(0.05), bandOf(0.15)];
  expect(some?.shift).toBeGreaterThan(0);
  expect(some?.turn).toBeGreaterThan(0);
  // to first order in the coefficient; conduits by an exponential
  expect((more?.shift as number) / (some?.shift as number)).toBeGreaterThan(2.5);
  expect((more?.shift as number) / (some?.shift as number)).toBeLessThan(4);
  const single = createArm(twinArm({ single: true }));
  const fallen = holdAt(single, plainRequest(single, { gravity: earth }), fullLength(single));
  const { lock, work } = lockOf(single, fallen);
  expect(tipBand(single, fallen, lock, work)).toBeUndefined();
});

test("a base that gives: its part is what is lost to it, for a straight arm a turn and a way by the lever (rigid-body motion by hand)", () => {
  const soft = createArm({ ...description, base: { compliance: [2e-3, 2e-3, 5e-3, 1e-6, 1e-6, 3e-6] } });
  const straight = holdAt(arm, plainRequest(arm), fullLength(arm));
  const [rigid, given] = [stiffnessOf(arm, straight), stiffnessOf(soft, straight)] as [TipStiffness, TipStiffness];
  // the pull of all cables shortens the arm
  const lever = lockOf(arm, straight).lock.tip[0] as number;
  // 1 m of lever and 1 N turn it by 2 mrad: 2 mm at the tip
  const truth = lever ** 2 * 2e-3 + 1e-6;
  expect(Math.abs((given.acrossMost.give - rigid.acrossMost.give) / truth - 1)).toBeLessThan(1e-6);
  expect(Math.abs(given.acrossMost.base / truth - 1)).toBeLessThan(1e-9);
  expect(Math.abs(given.along.base / 3e-6 - 1)).toBeLessThan(1e-9);
  expect(rigid.acrossMost.base).toBe(0);
  // bent and loaded: what is left for the backbone is what it takes of its own, but for what the load does to a base that turns
  const bent = stiffnessOf(soft, hold) as TipStiffness;
  expect(bent.acrossMost.base).toBeGreaterThan(0);
  expect(Math.abs(bent.acrossMost.backbone / found.acrossMost.backbone - 1)).toBeLessThan(0.05);
});
