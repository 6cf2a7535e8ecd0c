/**
 * Work of loads and drives along a ramp = energy stored (+ what friction eats). Stored energy is written out rod by rod from the
 * arm's description, work is gathered from places, lengths and tensions alone: neither asks the solver for its own energy.
 *
 * Work is summed by the trapezoidal rule over n steps; its error falls by four when the steps are halved, and what is left after two
 * rounds of extrapolation (Romberg) is the solver's.
 */
import { describe, expect, test } from "vitest";
import { type ArmModel, createArm, rodSection, type Section } from "../../src/arm/index.ts";
import {
  cableStiffness,
  copyRodState,
  createRodState,
  createRodWork,
  type Load,
  type RodState,
  type RodWork,
  readFreeLengths,
  type SolveReport,
  type Stance,
  slideCables,
  solveHeld,
  solveLocked,
  solveTensions,
} from "../../src/rod/index.ts";
import { reach } from "../published/reach.ts";
import { rows } from "../published/rows.ts";
import { stanceAlongX } from "./arms.ts";
import { twinArm } from "./twin.ts";

/** Energy of all rods and hoses: bending, twist, the sideways bending of rods off the axis, stretch of clamped ones (twist lengthens them). J */
function rodEnergy(arm: ArmModel, state: RodState, work: RodWork): number {
  let energy = 0;
  for (let i = work.firstFree; i < arm.spans; i++) {
    const section = arm.description.sections[arm.sectionOfSpan[i] as number] as Section;
    const length = work.flexible[i] as number;
    const share = length / section.flexible;
    const effective = section.effectiveLength * share;
    const [x, y, z, e] = [0, 1, 2, 3].map((k) => length * ((state.strain[4 * i + k] as number) - (arm.rest[4 * i + k] as number))) as [
      number,
      number,
      number,
      number,
    ];
    for (const rod of section.rods) {
      const [rx, ry] = arm.turned[i] === 1 ? [-rod.y, rod.x] : [rod.x, rod.y];
      const { ei, gj, ea, shear } = rodSection(rod);
      const full = section.effectiveLength;
      const sideways = (12 * ei * (rx * rx + ry * ry)) / full ** 2 / (1 + (12 * ei) / (shear * full * full));
      energy += (ei * (x * x + y * y) + (gj + sideways) * z * z) / (2 * effective);
      if (rod.attachment === "sliding") continue;
      const stretch = (e + ry * x - rx * y) / effective + (0.6 * (rx * rx + ry * ry) * z * z) / effective ** 2;
      energy += (ea * effective * stretch * stretch) / 2;
    }
    for (const hose of section.hoses)
      energy += (hose.bendingStiffness * (x * x + y * y) + hose.torsionStiffness * z * z) / (2 * section.pitch * share);
  }
  return energy;
}

/** A base that gives counts its ways by springs of 1 N m: 0 for a rigid one. J */
function baseEnergy(state: RodState): number {
  return state.base.reduce((sum, n) => sum + (n * n) / 2, 0);
}

/** What is needed of a balance to gather work between two of them. */
interface Stop {
  readonly share: number;
  readonly frame: Float64Array;
  readonly length: Float64Array;
  readonly tension: Float64Array;
  readonly free: Float64Array;
  readonly rods: number;
  /** vertebrae up to this one are in the guide, which carries them */
  readonly first: number;
}

/** Work of gravity, forces and the wrench that follows the tip between two balances, each load at the mean of its sizes there. */
function loadWork(arm: ArmModel, load: Load, a: Stop, b: Stop): number {
  const size = (a.share + b.share) / 2;
  const { tool } = arm.description;
  const moved = (vertebra: number, at: readonly number[], k: number): number =>
    place(b.frame, vertebra, at, k) - place(a.frame, vertebra, at, k);
  let work = 0;
  for (let k = 0; k < 3; k++) {
    const g = size * (load.gravity[k] as number);
    for (let i = a.first + 1; i <= arm.spans; i++) work += g * (arm.mass[i] as number) * moved(i, [0, 0, 0], k);
    work += g * tool.mass * moved(arm.spans, tool.centre, k);
    for (const point of load.forces) work += size * (point.force[k] as number) * moved(point.vertebra, point.at, k);
  }
  if (load.following === undefined) return work;
  const motion = tipMotion(arm, a.frame, b.frame);
  for (let k = 0; k < 6; k++) work += size * (load.following[k] as number) * (motion[k] as number);
  return work;
}

function place(frame: Float64Array, vertebra: number, at: readonly number[], k: number): number {
  const o = 12 * vertebra;
  return (frame[o + 9 + k] as number) + [0, 1, 2].reduce((sum, c) => sum + (frame[o + 3 * k + c] as number) * (at[c] as number), 0);
}

/** Turn and shift of the tip from one balance to another, in axes half-way between: to second order. [6] */
function tipMotion(arm: ArmModel, a: Float64Array, b: Float64Array): number[] {
  const o = 12 * arm.spans;
  const R = (f: Float64Array, r: number, c: number): number => f[o + 3 * r + c] as number;
  const turn = (r: number, c: number): number => [0, 1, 2].reduce((sum, k) => sum + R(a, k, r) * R(b, k, c), 0);
  const rotation = [(turn(2, 1) - turn(1, 2)) / 2, (turn(0, 2) - turn(2, 0)) / 2, (turn(1, 0) - turn(0, 1)) / 2];
  const shift = [0, 1, 2].map((c) =>
    [0, 1, 2].reduce((sum, k) => sum + ((R(a, k, c) + R(b, k, c)) / 2) * ((b[o + 9 + k] as number) - (a[o + 9 + k] as number)), 0),
  );
  return [...rotation, ...shift];
}

const description = twinArm({ sections: 3, spans: 5, pretension: 15 });
const rigid = createArm(description);
const giving = createArm({ ...description, base: { compliance: [0.02, 0.05, 0.03, 1e-4, 2e-4, 1e-4] } });
const load: Load = {
  gravity: [2, -4, -8],
  forces: [
    { vertebra: 15, force: [0.5, -0.6, 0.4], at: [2e-3, 1e-3, 10e-3] },
    { vertebra: 6, force: [0, 1, 0.5], at: [0, 0, 0] },
  ],
};
const following: Load = { ...load, following: [0.01, -0.02, 0.015, 0.3, 0.2, -0.5] };
const stance: Stance = stanceAlongX(12e-3);
const bend = Float64Array.of(0.25, -0.1, 0.1, 0.3, -0.3, 0.1);

function scaled(whole: Load, share: number): Load {
  const by = (v: readonly number[]): never => v.map((x) => share * x) as never;
  return {
    gravity: by(whole.gravity),
    forces: whole.forces.map((point) => ({ ...point, force: by(point.force) })),
    ...(whole.following === undefined ? {} : { following: by(whole.following) }),
  };
}

interface Ramp {
  readonly load: Load;
  /** solves at a share of the ramp; the state comes from the step before */
  solve(share: number, on: Load, state: RodState, work: RodWork, free: Float64Array): SolveReport;
  /** the one on a rigid base when absent */
  readonly arm?: ArmModel;
  /** energy of the cables counts when the drives are what moves */
  readonly drives: "length" | "tension";
}

/** Work less gain of a ramp from 0 to 1 in n steps, J; and the sum of the sizes of all that was done, in and out. Work is that of the loads in `counted`. */
function miss(ramp: Ramp, n: number, counted = ramp.load): [number, number] {
  const arm = ramp.arm ?? rigid;
  const state = createRodState(arm);
  const work = createRodWork(arm);
  const stops: Stop[] = [];
  for (let k = 0; k <= n; k++) {
    const free = new Float64Array(arm.cables);
    const report = ramp.solve(k / n, scaled(ramp.load, k / n), state, work, free);
    expect(report.status).toBe("stable");
    stops.push({
      share: k / n,
      frame: work.frame.slice(),
      length: work.cableLength.slice(),
      tension: state.tension.slice(),
      free,
      rods: rodEnergy(arm, state, work) + baseEnergy(state),
      first: work.firstFree,
    });
  }
  const stored = (stop: Stop): number => {
    if (ramp.drives === "tension") return stop.rods;
    return stop.tension.reduce((sum, t, c) => sum + (t * t) / (2 * cableStiffness(arm, c)), stop.rods);
  };
  let done = 0;
  let gross = 0;
  const add = (piece: number): void => {
    done += piece;
    gross += Math.abs(piece);
  };
  for (let k = 1; k <= n; k++) {
    const [a, b] = [stops[k - 1] as Stop, stops[k] as Stop];
    add(loadWork(arm, counted, a, b));
    for (let c = 0; c < arm.cables; c++) {
      const pull = ((a.tension[c] as number) + (b.tension[c] as number)) / 2;
      // the drive draws in what is let out less; a cable of given tension shortens over the arm
      const from = ramp.drives === "length" ? a.free : a.length;
      const to = ramp.drives === "length" ? b.free : b.length;
      add(pull * ((from[c] as number) - (to[c] as number)));
    }
  }
  return [done - (stored(stops[n] as Stop) - stored(stops[0] as Stop)), gross];
}

function holdAt(from: Float64Array, to: Float64Array, share: number): Float64Array {
  return from.map((v, k) => v + share * ((to[k] as number) - v));
}

/** Free lengths of a held shape under a load. */
function lengthsOf(arm: ArmModel, at: Float64Array, on: Load): Float64Array {
  const state = createRodState(arm);
  const work = createRodWork(arm);
  const free = new Float64Array(arm.cables);
  expect(solveHeld(arm, on, stance, at, state, work).status).toBe("stable");
  readFreeLengths(arm, state, work, free);
  return free;
}

const tight = { tolerance: 1e-11 };
const still = bend.map((v) => -0.4 * v);
/** From the lengths of one held shape without load to those of another under all of it. */
function drawing(arm: ArmModel): Ramp {
  const from = lengthsOf(arm, still, scaled(load, 0));
  const to = lengthsOf(arm, bend, load);
  return {
    load,
    arm,
    drives: "length",
    solve: (share, on, state, work, free) => {
      free.set(holdAt(from, to, share));
      return solveLocked(arm, on, stance, free, state, work, tight);
    },
  };
}

const cases: [string, keyof typeof rows, Ramp][] = [
  [
    "tensions given, growing with the load",
    "energyTensions",
    {
      load,
      drives: "tension",
      solve: (share, on, state, work) => {
        state.tension.set([9, 8, 8, 8, 8, 8, 8, 8, 8].map((t, c) => t + share * (c % 3) * 4));
        return solveTensions(rigid, on, stance, state, work, tight);
      },
    },
  ],
  [
    "the same under a wrench that follows the tip",
    "energyFollowing",
    {
      load: following,
      drives: "tension",
      solve: (share, on, state, work) => {
        state.tension.set([9, 8, 8, 8, 8, 8, 8, 8, 8].map((t, c) => t + share * (c % 3) * 4));
        return solveTensions(rigid, on, stance, state, work, tight);
      },
    },
  ],
  [
    "bends held, growing with the load",
    "energyHeld",
    {
      load,
      drives: "length",
      solve: (share, on, state, work, free) => {
        const report = solveHeld(rigid, on, stance, holdAt(still, bend, share), state, work, tight);
        readFreeLengths(rigid, state, work, free);
        return report;
      },
    },
  ],
  ["drives that draw in and let out under a growing load", "energyLocked", drawing(rigid)],
  ["the same on a base that gives", "energyGiving", drawing(giving)],
];

describe("work = energy stored, cables that do not rub", () => {
  test.each(cases)("%s", (_, row, ramp) => {
    const [a, b, c] = [8, 16, 32].map((n) => miss(ramp, n)) as [[number, number], [number, number], [number, number]];
    const gross = c[1];
    expect(gross).toBeGreaterThan(0.005);
    // the slackest cable of a held section may change on the way: a corner in its tensions
    const [least, most] = row === "energyHeld" ? [1.5, 12] : [3.5, 4.5];
    expect(a[0] / b[0]).toBeGreaterThan(least);
    expect(a[0] / b[0]).toBeLessThan(most);
    expect(b[0] / c[0]).toBeGreaterThan(least);
    expect(b[0] / c[0]).toBeLessThan(most);
    const one = (4 * b[0] - a[0]) / 3;
    const two = (4 * c[0] - b[0]) / 3;
    reach(row, (16 * two - one) / 15 / gross);
  });

  test("what is missing is seen: the work of one force, the energy of twist", () => {
    const [, , ramp] = cases[3] as (typeof cases)[number];
    const [left, gross] = miss(ramp, 32);
    expect(Math.abs(left / gross)).toBeLessThan(1e-3);
    const [without] = miss(ramp, 32, { ...load, forces: load.forces.slice(1) });
    expect(Math.abs(without / gross)).toBeGreaterThan(5e-3);
    const other = createRodState(giving);
    solveLocked(giving, load, stance, lengthsOf(giving, bend, load), other, createRodWork(giving), tight);
    expect(baseEnergy(other)).toBeGreaterThan(10 * rows.energyGiving.asked * gross);
    const state = createRodState(rigid);
    const work = createRodWork(rigid);
    solveLocked(rigid, load, stance, lengthsOf(rigid, bend, load), state, work, tight);
    const untwisted = copyRodState(state);
    for (let i = 0; i < rigid.spans; i++) untwisted.strain[4 * i + 2] = 0;
    expect(rodEnergy(rigid, state, work) - rodEnergy(rigid, untwisted, work)).toBeGreaterThan(10 * rows.energyLocked.asked * gross);
  });
});

describe("work = energy stored, pressed onto a plate", () => {
  const plate = { kind: "plane", at: [0, 0, -16e-3], normal: [0, 0, 1] } as const;
  const stiffness = 2e4;
  const press: Load = { gravity: [1, 2, -9], forces: [{ vertebra: 15, force: [0.3, 0.5, -6], at: [2e-3, 0, 5e-3] }] };

  /** Springs of the rims' corners: k/2 times their depth squared, from the frames. J */
  function plateEnergy(arm: ArmModel, work: RodWork): number {
    const { tool } = arm.description;
    let energy = 0;
    const add = (vertebra: number, height: number, radius: number): void => {
      for (let corner = 0; corner < 12; corner++) {
        const angle = (corner * Math.PI) / 6;
        const z = place(work.frame, vertebra, [radius * Math.cos(angle), radius * Math.sin(angle), height], 2);
        energy += (stiffness / 2) * Math.max(0, plate.at[2] - z) ** 2;
      }
    };
    for (let i = work.firstFree + 1; i <= arm.spans; i++) {
      const up = i < arm.spans ? (arm.lead[i] as number) : (arm.tail[i - 1] as number);
      for (const height of [-(arm.tail[i - 1] as number), up]) add(i, height, (arm.width[i] as number) / 2);
    }
    for (const height of [arm.tail[arm.spans - 1] as number, tool.length]) add(arm.spans, height, tool.diameter / 2);
    return energy;
  }

  test("lengths locked, weight and forces grow: the plate keeps its part", () => {
    const lengths = lengthsOf(rigid, new Float64Array(bend.length), scaled(press, 0));
    const run = (n: number): { left: number; gross: number; plate: number } => {
      const state = createRodState(rigid);
      const work = createRodWork(rigid);
      let gross = 0;
      let done = 0;
      let before: Stop | undefined;
      const stored = (): number => {
        return (
          rodEnergy(rigid, state, work) +
          plateEnergy(rigid, work) +
          state.tension.reduce((sum, t, c) => sum + (t * t) / (2 * cableStiffness(rigid, c)), 0)
        );
      };
      let start = 0;
      for (let k = 0; k <= n; k++) {
        const on: Load = { ...scaled(press, k / n), walls: { field: { walls: [plate] }, stiffness } };
        expect(solveLocked(rigid, on, stance, lengths, state, work, tight).status).toBe("stable");
        const now: Stop = {
          share: k / n,
          frame: work.frame.slice(),
          length: lengths,
          tension: lengths,
          free: lengths,
          rods: 0,
          first: work.firstFree,
        };
        if (before === undefined) start = stored();
        else {
          const piece = loadWork(rigid, press, before, now);
          done += piece;
          gross += Math.abs(piece);
        }
        before = now;
      }
      return { left: done - (stored() - start), gross, plate: plateEnergy(rigid, work) };
    };
    const [coarse, fine] = [run(40), run(160)];
    expect(fine.plate).toBeGreaterThan(1e-3 * fine.gross);
    // corners touch one by one, each a bend in the path: between first and second order
    expect(Math.abs(fine.left)).toBeLessThan(0.3 * Math.abs(coarse.left));
    reach("energyPlate", fine.left / fine.gross);
  });
});

/*
 * Rubbing cables. Over span i a cable pulls with T_i; m_i of it slides through the hole at its foot towards the drive, where it pulls with T.
 * The drive gives T m_0, the arm gets -T_i ds_i, the cable keeps T_i dT_i pitch/EA, each hole eats (T_(i-1) - T_i) m_i.
 */
interface Ledger {
  drives: number;
  loads: number;
  pulls: number;
  eaten: number;
  /** gained */
  rods: number;
  cables: number;
}

interface RubbedStop extends Stop {
  /** [span, cable] N, m, m */
  readonly pull: Float64Array;
  readonly span: Float64Array;
  readonly run: Float64Array;
}

describe("work = energy stored + what friction eats: bends held, there and back", () => {
  const exactly = (value: number) => ({ low: value, nominal: value, high: value });
  const rubbing = (mu: number): ArmModel =>
    createArm({ ...description, conduitLength: 0, friction: { holes: exactly(mu), conduit: exactly(0), conduitTurn: 0 } });

  /** From one bend to the other and back, so many times, in n steps each way; one ledger a round. */
  function rounds(model: ArmModel, count: number, n: number): Ledger[] {
    const state = createRodState(model);
    const work = createRodWork(model);
    const settle = (share: number): RubbedStop => {
      // grips follow the slides of this step, and the shape follows the grips
      for (let k = 0; k < 20; k++) {
        expect(solveHeld(model, load, stance, holdAt(still, bend, share), state, work, tight).status).toBe("stable");
        if (slideCables(model, state, work) < 1e-7) break;
      }
      return stopOf(model, state, work);
    };
    let before = settle(0);
    return Array.from({ length: count }, () => {
      const ledger: Ledger = { drives: 0, loads: 0, pulls: 0, eaten: 0, rods: 0, cables: 0 };
      for (let k = 1; k <= 2 * n; k++) {
        const now = settle(k <= n ? k / n : 2 - k / n);
        ledger.loads += loadWork(model, load, before, now);
        ledger.rods += now.rods - before.rods;
        for (let c = 0; c < model.cables; c++) addCable(model, c, before, now, ledger, work);
        before = now;
      }
      return ledger;
    });
  }

  function stopOf(model: ArmModel, state: RodState, work: RodWork): RubbedStop {
    const count = model.spans * model.cables;
    return {
      share: 1,
      frame: work.frame.slice(),
      length: work.cableLength.slice(),
      tension: state.tension.slice(),
      free: state.tension,
      rods: rodEnergy(model, state, work),
      first: work.firstFree,
      pull: Float64Array.from({ length: count }, (_, q) => (state.tension[q % model.cables] as number) * (work.share[q] as number)),
      span: Float64Array.from({ length: count }, (_, q) =>
        Math.floor(q / model.cables) < work.firstFree ? 0 : 1 / (work.cableLine[4 * q + 3] as number),
      ),
      run: state.run.slice(),
    };
  }

  function addCable(model: ArmModel, c: number, a: RubbedStop, b: RubbedStop, ledger: Ledger, work: RodWork): void {
    const end = model.firstSpan[(model.sectionOfCable[c] as number) + 1] as number;
    let before = ((a.tension[c] as number) + (b.tension[c] as number)) / 2;
    for (let i = work.firstFree; i < end; i++) {
      const q = i * model.cables + c;
      const [from, to] = [a.pull[q] as number, b.pull[q] as number];
      const pull = (from + to) / 2;
      const slid = (a.run[q] as number) - (b.run[q] as number);
      if (i === work.firstFree) ledger.drives += before * slid;
      ledger.eaten += (before - pull) * slid;
      ledger.pulls -= pull * ((b.span[q] as number) - (a.span[q] as number));
      const pitch = (model.along[i + 1] as number) - (model.along[i] as number);
      ledger.cables += ((to * to - from * from) * pitch) / (2 * (model.cableEA[c] as number));
      before = pull;
    }
  }

  test("the second round: shape and tensions come back, and all that the drives gave was eaten", () => {
    const ledgers = [24, 48].map((n) => rounds(rubbing(0.2), 2, n)) as [[Ledger, Ledger], [Ledger, Ledger]];
    const left = ledgers.map(([first, second]) => {
      for (const round of [first, second]) {
        // what the holes ate, by the slides, is what the drives gave and the arm did not get: a sum that leaves nothing out
        expect(Math.abs(round.drives - round.pulls - round.cables - round.eaten)).toBeLessThan(1e-9 * Math.abs(round.eaten));
        expect(round.eaten).toBeGreaterThan(0);
      }
      // round a loop: 1e-3 of what is eaten is what starting straight has left of itself
      expect(Math.abs(second.rods) + Math.abs(second.cables)).toBeLessThan(1e-3 * second.eaten);
      return (second.pulls + second.loads - second.rods) / second.eaten;
    });
    // grips turn over within a tenth of a millimetre of sliding, three or four steps: between first and second order
    expect(Math.abs(left[1] as number)).toBeLessThan(0.7 * Math.abs(left[0] as number));
    reach("energyRubbed", left[1] as number);
  });

  test("more friction eats more; none eats nothing", () => {
    const eaten = [0, 0.05, 0.1, 0.2].map((mu) => (rounds(rubbing(mu), 2, 12)[1] as Ledger).eaten);
    expect(Math.abs(eaten[0] as number)).toBeLessThan(1e-12);
    // near nothing it goes with the coefficient, then faster: tensions grow with it
    expect((eaten[2] as number) / (eaten[1] as number)).toBeGreaterThan(1.8);
    expect((eaten[3] as number) / (eaten[2] as number)).toBeGreaterThan(1.9);
  });
});
