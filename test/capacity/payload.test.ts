import { describe, expect, test } from "vitest";
import { type ArmDescription, type ArmModel, createArm } from "../../src/arm/index.ts";
import { InputError } from "../../src/base/index.ts";
import {
  createMapState,
  createMapWork,
  createPayloadMap,
  holdAt,
  type MapPoint,
  type MapState,
  stepPayloadMap,
  withPretension,
} from "../../src/capacity/index.ts";
import { checkBalance, createRodState, createRodWork, readFreeLengths, solveHeld, solveLocked } from "../../src/rod/index.ts";
import { twinArm } from "../rod/twin.ts";
import { looseRod, outerFibre } from "./rods.ts";
import { down, earth, fullLength, mapOf, plainRequest } from "./run.ts";

const twin = twinArm({ sections: 3, spans: 6, pretension: 4 });
// cables of half the strength, so that they are the first to fail
const small = { ...twin, sections: twin.sections.map((s) => ({ ...s, cable: { ...s.cable, breakingLoad: 110 } })) };
const arm = createArm(small);
const loads = (points: readonly MapPoint[]): number[] => points.map((p) => p.load);

/** All masses and the tool's made what water of this density weighs in their place, each at its own middle. */
function neutral(of: ArmModel): { arm: ArmModel; density: number } {
  const density = 3000;
  const tool = { ...of.description.tool, mass: density * of.toolVolume, centre: [0, 0, of.toolMiddle] as const };
  return { arm: { ...of, description: { ...of.description, tool }, mass: of.volume.map((v) => density * v) }, density };
}

describe("payload of a twin arm", () => {
  const [point] = mapOf(arm, { gravity: earth, tolerance: 1e-4 });

  test("it holds at the load and fails at the bound: solved again from the locked shape, the load grown in sixty even steps", () => {
    const request = plainRequest(arm, { gravity: earth });
    const { stance } = holdAt(arm, request, fullLength(arm));
    const work = createRodWork(arm);
    const state = createRodState(arm);
    const weight = { gravity: earth, forces: [] };
    solveHeld(arm, weight, stance, request.bend, state, work);
    const free = new Float64Array(arm.cables);
    readFreeLengths(arm, state, work, free);
    const at = [0, 0, arm.description.tool.length] as const;
    const load = (n: number) => ({ gravity: earth, forces: [{ vertebra: arm.spans, force: [0, 0, -n] as const, at }] });
    for (let k = 1; k <= 60; k++) {
      const status = solveLocked(arm, load(((point?.load as number) * k) / 60), stance, free, state, work).status;
      expect(["stable", "slack"]).toContain(status);
    }
    const greatest = (): number => Math.max(...Array.from(state.tension, (t, c) => t / (arm.workingLoad[c] as number)));
    expect(checkBalance(arm, load(point?.load as number), stance, state)).toBeLessThan(1e-7);
    expect(point?.found).toBe(true);
    expect(point?.end).toBe("cable");
    expect(greatest()).toBeLessThan(1);
    expect(greatest()).toBeCloseTo(point?.uses.cable as number, 6);
    solveLocked(arm, load(point?.bound as number), stance, free, state, work);
    expect(greatest()).toBeGreaterThanOrEqual(1);
    expect((point?.bound as number) - (point?.load as number)).toBeLessThanOrEqual(1e-4 * (point?.bound as number));
  });

  test("a slack cable is said, and ends nothing", () => {
    expect(point?.slack.length).toBeGreaterThan(0);
    expect(point?.slackFrom).toBeLessThan(point?.load as number);
  });

  test("scaling one solve is not it: the tension of the worst cable does not grow in step with the load", () => {
    const [less] = mapOf(arm, { gravity: earth, limits: { cableShare: 0.5 }, tolerance: 1e-4 });
    expect(less?.end).toBe("cable");
    expect(Math.abs((less?.load as number) / (point?.load as number) - 0.5)).toBeGreaterThan(0.05);
  });

  test("payload of strong arms is about 200 g (common practice, no source): within a factor of five for the eight-section twin", () => {
    const [strong] = mapOf(createArm(twinArm()), { gravity: earth, tolerance: 0.02 });
    const grams = ((strong?.load as number) / 9.80665) * 1e3;
    expect(grams).toBeGreaterThan(40);
    expect(grams).toBeLessThan(1000);
  });
});

describe("what changes a payload", () => {
  test("shortening a cantilever raises it, at every length: strain EI / (c L) where the root bends by whole spans", () => {
    const [length, spans, allowedStrain] = [0.4, 40, 1e-4];
    const rod = looseRod({ length, spans, ei: 3e-3, allowedStrain });
    const lengths = [1, 0.8, 0.6, 0.4, 0.2].map((share) => share * length);
    const points = mapOf(rod, { lengths });
    for (let k = 1; k < points.length; k++) expect(points[k]?.load).toBeGreaterThan(points[k - 1]?.load as number);
    points.forEach((p, k) => {
      const lever = (lengths[k] as number) - length / spans / 2;
      expect(Math.abs(p.load / ((allowedStrain * 3e-3) / (outerFibre * lever)) - 1)).toBeLessThan(2e-3);
    });
    // and of the twin arm, where cables and rods share the load
    const [whole, half] = mapOf(arm, { gravity: earth, lengths: [fullLength(arm), 0.6 * fullLength(arm)] });
    expect(half?.load).toBeGreaterThan(whole?.load as number);
  });

  test("pretension: taut cables sag less under a given load, and leave less to the working load", () => {
    const sag = mapOf(arm, { gravity: earth, pretensions: [1, 4, 12], limits: { sag: 0.01 } });
    expect(sag.every((p) => p.end === "sag")).toBe(true);
    // no cable is loose at the arm's own 4 N and above until well past the tolerance; at 1 N some are
    expect(sag[0]?.load).toBeLessThan(sag[2]?.load as number);
    const [low, high] = mapOf(arm, { gravity: earth, pretensions: [4, 16] });
    expect([low?.end, high?.end]).toEqual(["cable", "cable"]);
    expect(high?.load).toBeLessThan(low?.load as number);
    expect(sag.map((p) => p.pretension)).toEqual([1, 4, 12]);
  });

  test("pretension set on the model is the same as in the description", () => {
    const other = createArm({ ...small, sections: small.sections.map((s) => ({ ...s, pretension: 7 })) });
    expect(withPretension(arm, 7)).toEqual(other);
  });

  test("locked unloaded, the weight has taken its part already", () => {
    const [carrying] = mapOf(arm, { gravity: earth, limits: { sag: 0.02 } });
    const [unloaded] = mapOf(arm, { gravity: earth, limits: { sag: 0.02 }, lockedAt: "unloaded" });
    expect([carrying?.end, unloaded?.end]).toEqual(["sag", "sag"]);
    expect(unloaded?.load).toBeLessThan(carrying?.load as number);
    // without weight they are one
    const both = (["carrying", "unloaded"] as const).map((lockedAt) =>
      mapOf(createArm({ ...small, tool: { ...small.tool, mass: 0 } }), { lockedAt, tolerance: 1e-6 }),
    );
    expect(both[1]?.[0]?.load).toBeCloseTo(both[0]?.[0]?.load as number, 3);
  });

  test("friction in the conduit takes exp(mu angle) off what a cable may pull (Euler-Eytelwein): as with so much smaller a share of the working load", () => {
    const [mu, turn] = [0.12, Math.PI];
    const one = (x: number) => ({ nominal: x, low: x, high: x });
    const rubbed = createArm({ ...small, friction: { holes: one(0), conduit: { nominal: mu / 2, low: 0, high: mu }, conduitTurn: turn } });
    const ask = { gravity: earth, tolerance: 1e-5 };
    const [rubs] = mapOf(rubbed, ask);
    const [shared] = mapOf(arm, { ...ask, limits: { cableShare: Math.exp(-mu * turn) } });
    expect([rubs?.end, shared?.end]).toEqual(["cable", "cable"]);
    expect(Math.abs((rubs?.load as number) / (shared?.load as number) - 1)).toBeLessThan(2e-5);
    // holes rub where the arm bends: the bound falls with their coefficient, and nothing falls without
    const loads = [0, 0.1, 0.3].map((high) => {
      const friction = { holes: { nominal: high / 2, low: 0, high }, conduit: one(0), conduitTurn: 0 };
      return mapOf(createArm({ ...small, friction }), ask)[0]?.load as number;
    });
    expect(loads[0]).toBe(mapOf(arm, ask)[0]?.load);
    expect(loads[1]).toBeLessThan(loads[0] as number);
    expect(loads[2]).toBeLessThan(loads[1] as number);
  });

  test("in water it carries more down and less up, by about what it displaces; a current aside takes some", () => {
    const fluid = { density: 1000 };
    const directions = [down, [0, 0, 1]] as const;
    const limits = { sag: 5e-3 };
    const ask = { gravity: earth, directions, limits, lockedAt: "unloaded" as const };
    const [airDown, airUp] = mapOf(arm, ask);
    const [wetDown, wetUp] = mapOf(arm, { ...ask, fluid });
    expect(wetDown?.load).toBeGreaterThan(airDown?.load as number);
    expect(wetUp?.load).toBeLessThan(airUp?.load as number);
    const current = { velocity: [0, 0, -0.5] as const, dragCoefficient: 1.2 };
    const [pushed] = mapOf(arm, { ...ask, fluid: { ...fluid, current } });
    expect(pushed?.load).toBeLessThan(wetDown?.load as number);
    // an arm that weighs what it displaces stands as without weight
    const { arm: heavy, density } = neutral(arm);
    const [floats] = mapOf(heavy, { ...ask, fluid: { density } });
    const [weightless] = mapOf(heavy, { ...ask, gravity: [0, 0, 0] });
    expect(Math.abs((floats?.load as number) / (weightless?.load as number) - 1)).toBeLessThan(2e-3);
  });

  test("the joint stop is named where it is the first", () => {
    const stiff = createArm({ ...small, sections: small.sections.map((s) => ({ ...s, jointLimit: 0.03 })) });
    const [point] = mapOf(stiff, { gravity: earth });
    expect(point?.end).toBe("stop");
    expect(point?.uses.stop).toBeGreaterThan(0.99);
    expect(point?.uses.stop).toBeLessThan(1);
    // the root carries the greatest moment; twin hinges alternate, so the first or the second bends most
    expect(point?.at).toBeLessThan(2);
  });

  test("a load beside the axis: a hand's breadth aside twists the arm and it carries less", () => {
    const [centred, aside] = [0, 0.1].map((y) => mapOf(arm, { gravity: earth, offset: [0, y, 0] })[0]);
    expect(aside?.load).toBeLessThan(centred?.load as number);
  });

  test("several places at once are the same as one by one, in the order length, pretension, place, direction", () => {
    const offsets = [[0, 0, 0], [0, 0.05, 0], [0, 0, 0.04]] as const; // biome-ignore format: three places
    const directions = [down, [0, 1, 0]] as const;
    const ask = { gravity: earth, directions, lengths: [fullLength(arm), 0.6 * fullLength(arm)], pretensions: [4, 8], tolerance: 0.01 };
    const all = mapOf(arm, { ...ask, offsets });
    expect(all).toHaveLength(24);
    const apart = offsets.map((offset) => mapOf(arm, { ...ask, offset }));
    all.forEach((p, k) => {
      const [place, way] = [Math.floor(k / 2) % 3, k % 2];
      expect(p.offset).toEqual(offsets[place]);
      const alone = apart[place]?.[2 * Math.floor(k / 6) + way];
      expect([p.load, p.bound, p.end, p.direction]).toEqual([alone?.load, alone?.bound, alone?.end, alone?.direction]);
    });
    // further out is a longer lever
    expect(all[4]?.load).toBeLessThan(all[0]?.load as number);
  });

  test("every limit can be the first, by name, with the load hung aside", () => {
    const ask = { gravity: earth, offset: [0, 0.04, 0] as const, directions: [[0, 0, -1]] as const };
    const weaker = (change: Partial<(typeof small.sections)[number]>) =>
      createArm({ ...small, sections: small.sections.map((s) => ({ ...s, ...change })) });
    const first = small.sections[0] as (typeof small.sections)[number];
    const rods = (allowedStrain: number) => first.rods.map((r) => ({ ...r, material: { ...r.material, allowedStrain } }));
    const brittle = weaker({ rods: rods(4e-3) });
    const strong = weaker({ cable: { ...first.cable, breakingLoad: 1e6 }, jointLimit: 3, rods: rods(1) });
    const cases = [
      ["cable", arm, {}],
      ["stop", weaker({ jointLimit: 0.03 }), {}],
      ["strain", brittle, {}],
      ["sag", arm, { limits: { sag: 5e-3 } }],
      // on the axis: a load beside it bends the arm out of the way before it can tip over
      ["unstable", strong, { directions: [[-1, 0, 0]] as const, offset: [0, 0, 0] as const }],
    ] as const;
    for (const [name, which, more] of cases) {
      const [point] = mapOf(which, { ...ask, ...more });
      expect([point?.end, point?.found]).toEqual([name, true]);
      const uses = point?.uses;
      const others = (["cable", "stop", "strain", "sag"] as const).filter((kind) => kind !== name);
      for (const kind of others) expect(uses?.[kind]).toBeLessThan(1);
      // within the tolerance of a part in a thousand of the load
      if (name !== "unstable") expect(uses?.[name]).toBeGreaterThan(0.99);
    }
  });

  test("an arm that does not carry itself is unstable without any payload", () => {
    const single = createArm(twinArm({ single: true }));
    const [point] = mapOf(single, { gravity: earth });
    expect([point?.end, point?.load, point?.bound]).toEqual(["unstable", 0, 0]);
  });

  test("no limit up to the most that is tried is said to be none", () => {
    const [point] = mapOf(looseRod({ length: 0.3, spans: 10, ei: 3e-3 }), { most: 1e-3 });
    expect([point?.found, point?.end, point?.load, point?.bound]).toEqual([false, "most", 1e-3, Number.POSITIVE_INFINITY]);
  });
});

test("mirror the arm, mirror the map", () => {
  // the arm's own y is the world's -y: angles and rods change their sign across the plane of x and z
  const mirrored: ArmDescription = {
    ...small,
    tool: { ...small.tool, centre: [small.tool.centre[0], -small.tool.centre[1], small.tool.centre[2]] },
    sections: small.sections.map((s) => ({ ...s, cableAngles: s.cableAngles.map((a) => -a), rods: s.rods.map((r) => ({ ...r, y: -r.y })) })),
  };
  const s = Math.SQRT1_2;
  const directions = [[0, s, s], [0, s, -s], [s, -s, 0], [0, 1, 0]] as const;
  const here = mapOf(arm, { gravity: earth, directions, tolerance: 1e-6 });
  const there = mapOf(createArm(mirrored), { gravity: earth, directions: directions.map(([x, y, z]) => [x, -y, z] as const), tolerance: 1e-6 });
  expect(here.map((p) => p.end)).toEqual(there.map((p) => p.end));
  loads(here).forEach((load, k) => expect(Math.abs(load / (there[k]?.load as number) - 1)).toBeLessThan(3e-6));
  here.forEach((p, k) => expect(Math.abs((p.point[1] as number) + (there[k]?.point[1] as number))).toBeLessThan(1e-5));
  // and the two sides of this arm differ, so that the test can fail
  const [one, other] = mapOf(arm, { gravity: earth, directions: [[0, 1, 0], [0, -1, 0]] }).map((p) => p.load);
  expect(Math.abs((one as number) / (other as number) - 1)).toBeGreaterThan(1e-3);
}); // biome-ignore format: short lists

test("left after every step and taken up with fresh memory, a map comes out the same to the last bit", () => {
  const request = plainRequest(arm, {
    gravity: earth,
    directions: [down, [-1, 0, 0]],
    pretensions: [4, 8],
    lockedAt: "unloaded",
    tolerance: 0.02,
  });
  const model = createPayloadMap(arm, request);
  const straight = createMapState();
  const work = createMapWork(model);
  let steps = 0;
  while (!straight.done) {
    stepPayloadMap(model, straight, work);
    steps++;
  }
  let broken: MapState = createMapState();
  let progress = 0;
  for (let k = 0; k < steps; k++) {
    broken = structuredClone(broken);
    stepPayloadMap(model, broken, createMapWork(model));
    expect(broken.progress).toBeGreaterThanOrEqual(progress);
    progress = broken.progress;
  }
  expect(broken).toEqual(straight);
  expect(broken.points).toHaveLength(4);
  expect(progress).toBe(1);
});

test("every fault of a request is found at once", () => {
  const request = plainRequest(arm, {
    directions: [[0, 0, -2]],
    lengths: [9],
    pretensions: [-1],
    limits: { sag: 0, cableShare: 0 },
    tolerance: 0,
    most: 0,
    offset: [0, Number.NaN, 0],
    offsets: [],
    bend: new Float64Array(1),
    exit: new Float64Array(3),
  });
  let faults: string[] = [];
  try {
    createPayloadMap(arm, request);
  } catch (error) {
    faults = (error as InputError).faults.map((f) => f.path);
    expect(error).toBeInstanceOf(InputError);
  }
  expect(faults).toEqual([
    "directions[0]",
    "lengths[0]",
    "pretensions[0]",
    "offsets",
    "offset",
    "limits.sag",
    "limits.cableShare",
    "tolerance",
    "most",
    "bend.length",
    "exit.length",
  ]);
});
