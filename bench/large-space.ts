/**
 * A vessel of two million triangles planned from its file to the verdict: `npx tsx bench/large-space.ts [triangles ...]`.
 *
 * For each size (100 000 and 2 000 000 when none is given; "stl:200" is a binary STL of 200 MiB, loaded and asked only) the file is made
 * in a temporary folder and planned by a process of its own, so that memory is that of the work alone. Prints seconds of the processor and greatest
 * memory by stage, and both a triangle against the first size. Fails above 4 GiB.
 */
import { spawnSync } from "node:child_process";
import { closeSync, copyFileSync, mkdtempSync, openSync, rmSync, writeFileSync, writeSync } from "node:fs";
import { tmpdir } from "node:os";
import { join } from "node:path";
import { fileURLToPath } from "node:url";
import { openJob } from "../apps/cli/read-files.ts";
import { createPlan, createPlanState, createPlanWork, stepPlan } from "../src/plan/index.ts";

const [first, ...others] = process.argv.slice(2);
const most = 4096;

/** Radius and height along the vessel's wall: a hole about the port, lid, wall, dished floor; then the mantle of a shaft off the middle. m */
const wall = [[0.03, 0], [0.25, 0], [0.25, -0.8], [0.2, -0.87], [0.1, -0.9], [0, -0.91]] as const; // biome-ignore format: one row
const shaft = [[0, -0.15], [0.02, -0.15], [0.02, -0.7], [0, -0.7]] as const; // biome-ignore format: one row

if (first === "--plan") await plan(others[0] as string, others[1] === "whole");
else compare(first === undefined ? ["100000", "2000000"] : [first, ...others]);

interface Told {
  readonly triangles: number;
  readonly answer: string;
  /** [stage] seconds of the processor and MiB, both since the start */
  readonly stages: readonly (readonly [string, number, number])[];
}

function compare(sizes: readonly string[]): void {
  let unit: Told | undefined;
  for (const size of sizes) {
    const folder = mkdtempSync(join(tmpdir(), "large-space-"));
    try {
      const loadOnly = size.startsWith("stl:");
      const asked = loadOnly ? Math.floor((Number(size.slice(4)) * 2 ** 20 - 84) / 50) : Number(size);
      writeJob(folder, asked);
      const self = fileURLToPath(import.meta.url);
      const child = spawnSync(process.execPath, [...process.execArgv, self, "--plan", folder, loadOnly ? "load" : "whole"], {
        encoding: "utf8",
        stdio: ["ignore", "pipe", "inherit"],
      });
      if (child.status !== 0) {
        console.log(`${size}: ended with ${child.status ?? child.signal}\n${child.stdout}`);
        process.exitCode = 1;
        continue;
      }
      const told = JSON.parse(child.stdout) as Told;
      unit ??= told;
      tell(told, unit);
      if ((told.stages.at(-1)?.[2] ?? 0) > most) process.exitCode = 1;
    } finally {
      rmSync(folder, { recursive: true });
    }
  }
}

function tell({ triangles, answer, stages }: Told, unit: Told): void {
  console.log(`${triangles} triangles: ${answer}`);
  const scale = (triangles / unit.triangles).toFixed(1);
  stages.forEach(([name, seconds, mib], k) => {
    if (k === 0) return;
    const own = seconds - (stages[k - 1]?.[1] ?? 0);
    const other = (unit.stages[k]?.[1] ?? Number.NaN) - (unit.stages[k - 1]?.[1] ?? 0);
    const ratio = unit.triangles === triangles ? "" : `, ${(own / other).toFixed(1)} times the time for ${scale} times the triangles`;
    const peak = `peak so far ${mib.toFixed(0)} MiB (${((mib * 2 ** 20) / triangles).toFixed(0)} bytes a triangle)`;
    console.log(`  ${name.padEnd(12)} ${own.toFixed(2)} s, ${peak}${ratio}`);
  });
  console.log(`  altogether   ${((stages.at(-1)?.[1] ?? 0) - (stages[0]?.[1] ?? 0)).toFixed(1)} s`);
}

async function plan(folder: string, whole: boolean): Promise<void> {
  const stages: [string, number, number][] = [];
  const lap = (name: string): void => {
    const { user, system } = process.cpuUsage();
    stages.push([name, (user + system) / 1e6, process.resourceUsage().maxRSS / 2 ** 10]);
  };
  lap("started");
  const { job } = await openJob(folder);
  lap("read");
  const model = createPlan(job);
  lap("space made");
  const state = createPlanState(model);
  const work = createPlanWork(model);
  while (whole && state.progress.stage !== "done") {
    const { stage } = state.progress;
    stepPlan(model, state, work);
    if (state.progress.stage !== stage) lap(stage);
  }
  const triangles = job.bodies.reduce((sum, { shape }) => sum + (shape.kind === "mesh" ? shape.corners.length / 9 : 0), 0);
  const told: Told = { triangles, answer: state.verdict?.answer ?? "not planned", stages };
  console.log(JSON.stringify(told));
}

function writeJob(folder: string, triangles: number): void {
  copyFileSync(new URL("../examples/valve-gallery/arm.yaml", import.meta.url), join(folder, "arm.yaml"));
  writeFileSync(
    join(folder, "job.yaml"),
    `withy: 1
name: vessel
arm: arm.yaml
bodies:
  - { name: vessel, shape: mesh, file: vessel.stl, unit: m }
port: { centre: [0 m, 0 m, 0 m], axis: [0, 0, -1], bore: 30 mm, wall: 10 mm }
target: { task: look, place: [250 mm, 0 mm, -450 mm], aim: [1, 0, -0.4], cone: 40 deg, stand-off: 40 mm .. 90 mm }
conditions: { fluid: dry }
limits: { clearance: 2 mm, sag: 80 mm, twist: 30 deg }
`,
  );
  writeVessel(join(folder, "vessel.stl"), triangles);
}

/** A surface of revolution cut into about so many triangles, as binary STL, written piece by piece. */
function writeVessel(file: string, triangles: number): void {
  const around = Math.max(12, Math.round(Math.sqrt(triangles / 2)));
  const pieces = [
    { profile: wall, off: 0, share: 0.8 },
    { profile: shaft, off: 0.1, share: 0.2 },
  ].map((piece) => ({ ...piece, rows: Math.max(3, Math.round((piece.share * triangles) / 2 / around)) }));
  const count = pieces.reduce((sum, { rows }) => sum + 2 * rows * around, 0);
  const out = openSync(file, "w");
  const head = Buffer.alloc(84);
  head.writeUInt32LE(count, 80);
  writeSync(out, head);
  for (const { profile, off, rows } of pieces) {
    for (let row = 0; row < rows; row++) {
      const [low, high] = [along(profile, row / rows), along(profile, (row + 1) / rows)];
      const bytes = Buffer.alloc(100 * around);
      for (let k = 0; k < around; k++) {
        const [a, b] = [(2 * Math.PI * k) / around, (2 * Math.PI * ((k + 1) % around)) / around];
        const at = (p: readonly number[], angle: number): number[] => [off + p[0]! * Math.cos(angle), p[0]! * Math.sin(angle), p[1]!];
        const quad = [at(low, a), at(low, b), at(high, b), at(high, a)];
        [quad[0], quad[1], quad[2], quad[0], quad[2], quad[3]].forEach((corner, i) => {
          for (let axis = 0; axis < 3; axis++)
            bytes.writeFloatLE(corner![axis]!, 100 * k + (i < 3 ? 12 + 12 * i : 62 + 12 * (i - 3)) + 4 * axis);
        });
      }
      writeSync(out, bytes);
    }
  }
  closeSync(out);
}

/** The place a share of the way along a profile. */
function along(profile: readonly (readonly [number, number])[], share: number): [number, number] {
  const lengths = profile.slice(1).map((p, k) => Math.hypot(p[0] - profile[k]![0], p[1] - profile[k]![1]));
  let left = share * lengths.reduce((sum, length) => sum + length, 0);
  for (let k = 0; k < lengths.length; k++) {
    const [from, to] = [profile[k]!, profile[k + 1]!];
    if (left <= lengths[k]! || k === lengths.length - 1) {
      const t = Math.min(1, left / lengths[k]!);
      return [from[0] + t * (to[0] - from[0]), from[1] + t * (to[1] - from[1])];
    }
    left -= lengths[k]!;
  }
  return [0, 0];
}
