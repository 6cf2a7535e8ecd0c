/** Drawn truths against closed forms, the plan itself, and its own linear spreads. */
import { readFileSync } from "node:fs";
import { afterAll, describe, expect, it, test } from "vitest";
import { openPool } from "../../apps/worker/open-pool.ts";
import { type JobSource, openJobSource } from "../../src/job/index.ts";
import type { PlanResult } from "../../src/plan/index.ts";
import { type DrawAnswer, drawValues, gatherDraws, listUnknowns, type UnsureResult } from "../../src/study/index.ts";
import { planJob } from "../examples/plan-example.ts";

const folder = new URL("../browser/duct/", import.meta.url);
const text = (name: string): string => readFileSync(new URL(name, folder), "utf8");
const bytes = (from: string): Uint8Array => new TextEncoder().encode(from);
const pools = [openPool(1), openPool(2)] as const;
afterAll(() => pools.forEach((pool) => pool.close()));

/** Nothing of it is unsure: friction has one value each. */
const sure = `${text("arm.yaml")}friction:\n  holes: 0.15\n  conduit: 0.1\n`;

interface Opened {
  readonly files: ReadonlyMap<string, Uint8Array>;
  readonly source: JobSource;
  readonly result: PlanResult;
}

function open(job: string, arm: string): Opened {
  const files = new Map([["job.yaml", bytes(job)], ["arm.yaml", bytes(arm)]]); // biome-ignore format: short
  const source = openJobSource("job.yaml", files);
  return { files, source, result: planJob(source.redraw({ job: new Map(), arm: new Map() })).result };
}

async function draw({ files, source, result }: Opened, draws: number, seed: number, cores: 1 | 2 = 2, mode: "held" | "anew" = "held") {
  const ends = await pools[cores - 1]?.run("draw", { main: "job.yaml", files, result, seed, mode }, Array.from({ length: draws }, (_, k) => k)); // biome-ignore format: short
  const answers = (ends ?? []).map((end) => {
    if (end.kind !== "done") throw new Error(JSON.stringify(end));
    return end.answer;
  });
  const unknowns = listUnknowns(source.redraw({ job: new Map(), arm: new Map() }), source).list;
  return { answers, found: gatherDraws(result, unknowns, { mode, seed }, answers) };
}

const margin = ({ found }: { found: UnsureResult }, id: string) =>
  found.margins.find((one) => one.id === id) as UnsureResult["margins"][number];
const each = (answers: readonly DrawAnswer[], id: string, of: "found" | "use"): number[] =>
  answers.map(({ margins }) => margins.find((one) => one.id === id)?.[of] as number).sort((a, b) => a - b);

describe("a draw of what is surely known", () => {
  test("is the plan itself: every margin as the plan has it", async () => {
    const opened = open(text("job.yaml"), sure);
    const { answers, found } = await draw(opened, 1, 1);
    expect(found.unknowns).toEqual([]);
    expect(answers[0]?.outcome).toBe("holds");
    const rows = opened.result.verdict.rows.filter(({ id }) => id !== "way-out");
    expect(answers[0]?.margins.map(({ id }) => id).sort()).toEqual(rows.map(({ id }) => id).sort());
    for (const row of rows) {
      const drawn = answers[0]?.margins.find(({ id }) => id === row.id);
      // grips are settled to 2 % of their friction, in the plan and once more in the replay
      expect(Math.abs((drawn?.use as number) - row.use), row.id).toBeLessThan(0.01);
      if (row.id === "clearance" || row.id === "touch") expect(Math.abs((drawn?.found as number) - row.limit), row.id).toBeLessThan(0.3e-3);
    }
  });
});

describe("margins with closed forms", () => {
  test("reach with a guide of 8 mm +- 2 mm: quantiles and chance of trouble are those of the normal law (seed 7, 60 draws)", async () => {
    const opened = open(text("job.yaml").replace("guide-length: 5 mm", "guide-length: 8 mm +- 2 mm"), sure);
    const run = await draw(opened, 60, 7);
    const reach = opened.result.verdict.rows.find(({ id }) => id === "reach");
    const [depth, whole] = [reach?.demand as number, (reach?.limit as number) + 0.008];
    expect(run.found.unknowns.map(({ name, law, spread }) => [name, law, spread])).toEqual([
      ["guide-length", "normal", expect.closeTo(0.002, 12)],
    ]);
    // a guide g leaves whole - g to put out: use = depth / (whole - g), over where g > whole - depth
    const normalAt = (z: number): number => 0.008 + 0.002 * z;
    for (const [k, z, density] of [
      [0, -1.6449, 0.1031],
      [1, 0, 0.3989],
      [2, 1.6449, 0.1031],
    ] as const) {
      const error = (0.002 * Math.sqrt(k === 1 ? 0.25 : 0.0475)) / (density * Math.sqrt(60));
      const from = depth / (margin(run, "reach").use[k] as number);
      expect(Math.abs(whole - from - normalAt(z))).toBeLessThan(4 * error);
    }
    const z = (whole - depth - 0.008) / 0.002;
    const truth = 1 - normalCdf(z);
    expect(run.found.trouble.low).toBeLessThan(truth);
    expect(run.found.trouble.high).toBeGreaterThan(truth);
    expect(run.found.matters[0]?.name).toBe("guide-length");
  });

  test("clearance to a wall when the port lies anywhere in a ball of 1 mm: what goes sideways of a ball (seed 2, 60 draws)", async () => {
    // a straight bore of 25 mm, an arm of 8 mm: 17 mm all round, whatever the roll; gravity along it
    const job = text("job.yaml")
      .replace(
        / {4}points:[\s\S]*? {4}touch: free\n/,
        "    points:\n      - { at: [0 mm, 0 mm, 0 mm], radius: 25 mm }\n      - { at: [0 mm, 0 mm, -200 mm], radius: 25 mm }\n    touch: never\n    stand-off: 0 mm\n",
      )
      .replace(/at: \[123 mm.*\]/, "at: [0 mm, 0 mm, -203 mm]")
      .replace(/turn: .*\n/, "turn: [0 deg, 0 deg, 0 deg]\n")
      .replace(/place: \[120 mm.*\]/, "place: [0 mm, 0 mm, -200 mm]")
      .replace(/aim: .*/, "aim: [0, 0, -1]")
      .replace("  wall: 8 mm\ntarget", "  wall: 8 mm\n  place-tolerance: 1 mm\ntarget");
    const opened = open(job, sure);
    const run = await draw(opened, 60, 2);
    expect(run.found.unknowns.map(({ name }) => name)).toEqual(["port.place x", "port.place y", "port.place z"]);
    const plan = opened.result.verdict.rows.find(({ id }) => id === "clearance");
    // least clearance = the centred arm's less what goes sideways
    const centred = (plan?.limit as number) + 1e-3;
    const sideways = each(run.answers, "clearance", "found")
      .map((found) => centred - found)
      .sort((a, b) => a - b);
    // of a ball of radius 1 mm: P(sideways <= s) = 1 - (1 - s^2)^(3/2)
    const truth = (share: number): number => 1e-3 * Math.sqrt(1 - (1 - share) ** (2 / 3));
    let worst = 0;
    sideways.forEach((s, k) => {
      worst = Math.max(worst, Math.abs(1 - (1 - Math.min(1, (s / 1e-3) ** 2)) ** 1.5 - (k + 0.5) / sideways.length));
    });
    // Kolmogorov's bound at 1 %
    expect(worst).toBeLessThan(1.63 / Math.sqrt(60));
    expect(Math.abs((sideways[29] as number) - truth(0.5))).toBeLessThan(0.15e-3);
  });
});

describe("many draws", () => {
  const opened = open(
    text("job.yaml").replace("  bore: 20 mm", "  place-tolerance: 0.5 mm\n  tilt-tolerance: 0.3 deg\n  bore: 20 mm"),
    text("arm.yaml").replace("mass: 20 g", "mass: 20 g +- 6 g").replace("material: nitinol", "material:\n      name: nitinol\n      young-modulus: 54 GPa .. 66 GPa\n      poisson-ratio: 0.33\n      density: 6.45 g/cm3\n      allowed-strain: 4 %\n      fatigue-strain: 0.4 %"), // biome-ignore format: short
  );

  test("are the same numbers for the same seed on one core and on two, others for another seed", async () => {
    const one = await draw(opened, 6, 7, 1);
    expect(await draw(opened, 6, 7, 2)).toEqual(one);
    const other = await draw(opened, 2, 8, 2);
    expect(other.answers[0]?.values).not.toEqual(one.answers[0]?.values);
    // a longer run begins with the shorter one's draws
    expect((await draw(opened, 3, 7)).answers).toEqual(one.answers.slice(0, 3));
  });

  test("what varies alone: the standard deviation is the plan's own, of slopes (cable load and strain, seed 4, 40 draws)", async () => {
    const arm = sure.replace("material: nitinol", "material:\n      name: nitinol\n      young-modulus: 54 GPa .. 66 GPa\n      poisson-ratio: 0.33\n      density: 6.45 g/cm3\n      allowed-strain: 4 %\n      fatigue-strain: 0.4 %"); // biome-ignore format: short
    const alone = open(text("job.yaml"), arm);
    const { answers } = await draw(alone, 40, 4);
    for (const id of ["cable-load", "strain"]) {
      const values = each(answers, id, "found");
      const mean = values.reduce((sum, v) => sum + v, 0) / values.length;
      const sd = Math.sqrt(values.reduce((sum, v) => sum + (v - mean) ** 2, 0) / (values.length - 1));
      const said = alone.result.verdict.rows.find((row) => row.id === id)?.spread as number;
      // a sample's standard deviation of an even law is off by 1 / sqrt(2.2 n) at one standard error
      expect(Math.abs(sd / said - 1), id).toBeLessThan(0.35);
    }
  });

  it("counts as not known what gives no job, and says why", async () => {
    const wild = open(text("job.yaml"), sure.replace("mass: 20 g", "mass: 20 g +- 19.9 g"));
    const { found } = await draw(wild, 12, 1);
    const lost = found.draws - found.holds - found.trouble.count;
    expect(lost).toBeGreaterThan(0);
    expect(found.troubleAtMost.count).toBe(found.trouble.count + lost);
    expect(found.notKnown.reduce((sum, { count }) => sum + count, 0)).toBe(lost);
    expect(found.notKnown[0]?.says).toMatch(/tool\.mass/);
  });

  it("plans every draw anew when asked", async () => {
    const { found } = await draw(opened, 2, 3, 2, "anew");
    expect(found.holds + found.trouble.count + found.notKnown.reduce((sum, { count }) => sum + count, 0)).toBe(2);
    expect(found.margins.map(({ id }) => id)).toContain("way-out");
  });
});

describe("drawn values", () => {
  const opened = openJobSource("job.yaml", new Map([
    ["job.yaml", bytes(text("job.yaml"))],
    ["arm.yaml", bytes(`${sure}fitted:\n  date: 2031-04-17\n  tables:\n    - { file: droop.csv, hash: 0123456789abcdef }\n  spreads: { stiffness: 3 %, stretch: 10 % }\n  correlations:\n    - { between: [stretch, stiffness], is: -0.6 }\n`)],
  ])); // biome-ignore format: a list
  const job = opened.redraw({ job: new Map(), arm: new Map() });

  test("of a fit keep its spreads and correlation (seed 9, 4 000 draws)", () => {
    const unknowns = listUnknowns(job, opened);
    expect(unknowns.list.map(({ name, from }) => [name, from])).toEqual([
      ["stiffness", "fit"],
      ["stretch", "fit"],
    ]);
    const n = 4000;
    const draws = Array.from({ length: n }, (_, k) => drawValues(unknowns, 9, k));
    const [a, b] = [0, 1].map((k) => draws.map((values) => (values[k] as number) - 1)) as [number[], number[]];
    const mean = (x: readonly number[], y: readonly number[]): number => x.reduce((sum, v, k) => sum + v * (y[k] as number), 0) / n;
    // standard errors 1.1 % of a standard deviation, 0.01 of the correlation
    expect(Math.sqrt(mean(a, a)) / 0.03).toBeCloseTo(1, 1);
    expect(Math.sqrt(mean(b, b)) / 0.1).toBeCloseTo(1, 1);
    expect(Math.abs(mean(a, b) / Math.sqrt(mean(a, a) * mean(b, b)) + 0.6)).toBeLessThan(0.05);
  });
});

/** Abramowitz and Stegun 26.2.17: right to 7.5e-8. */
function normalCdf(z: number): number {
  const t = 1 / (1 + 0.2316419 * Math.abs(z));
  const tail =
    (Math.exp((-z * z) / 2) / Math.sqrt(2 * Math.PI)) *
    t *
    (0.31938153 + t * (-0.356563782 + t * (1.781477937 + t * (-1.821255978 + t * 1.330274429))));
  return z > 0 ? 1 - tail : tail;
}
