/**
 * A mesh of two million triangles, as binary and as text STL: time and greatest memory to read, inspect, build and ask it.
 * Run: npx tsx bench/mesh-load.ts
 *
 * Each file is made by this process in a temporary folder and loaded by a process of its own, so that memory is that of the load alone.
 */
import { spawnSync } from "node:child_process";
import { once } from "node:events";
import { createWriteStream, mkdtempSync, readFileSync, rmSync, statSync } from "node:fs";
import { tmpdir } from "node:os";
import { join } from "node:path";
import { fileURLToPath } from "node:url";
import { createRandom } from "../src/base/index.ts";
import { readMesh } from "../src/formats/index.ts";
import { createSpace, createSpaceAnswer, createSpaceWork, sampleSpace } from "../src/space/index.ts";
import { bumpyMesh, pointsNear } from "./bumpy-mesh.ts";

const asked = process.argv[2];
if (asked !== undefined) load(asked);
else await compare();

async function compare(): Promise<void> {
  const folder = mkdtempSync(join(tmpdir(), "mesh-load-"));
  try {
    const corners = bumpyMesh(2_000_000);
    for (const [name, write] of [
      ["binary.stl", writeBinary],
      ["text.stl", writeText],
    ] as const) {
      const file = join(folder, name);
      await write(file, corners);
      console.log(`${name}: ${corners.length / 9} triangles, ${(statSync(file).size / 2 ** 20).toFixed(0)} MiB`);
      const child = spawnSync(process.execPath, [...process.execArgv, fileURLToPath(import.meta.url), file], {
        stdio: ["ignore", "inherit", "inherit"],
      });
      if (child.status !== 0) process.exitCode = 1;
    }
  } finally {
    rmSync(folder, { recursive: true });
  }
}

/** The whole way of a job: bytes, triangles, space, answers. */
function load(file: string): void {
  const start = performance.now();
  // the processor's own time tells of this load alone; the clock also of what else runs
  const lap = (): string => {
    const { user, system } = process.cpuUsage();
    return `${((performance.now() - start) / 1e3).toFixed(2)} s (processor ${((user + system) / 1e6).toFixed(2)} s)`;
  };
  const mesh = readMesh(file, readFileSync(file));
  console.log(`  read and inspected at ${lap()}${mesh.remarks.length > 0 ? `: ${mesh.remarks.join("; ")}` : ""}`);
  const body = {
    name: "mesh",
    shape: { kind: "mesh", corners: mesh.corners, unit: 1e-3 },
    placement: { at: [0, 0, 0], rotation: [1, 0, 0, 0, 1, 0, 0, 0, 1] },
    touch: { kind: "free" },
  } as const;
  const space = createSpace([body]);
  console.log(`  built at ${lap()}`);
  const n = 100_000;
  const points = pointsNear(mesh.corners, n, 2, createRandom(1)).map((value) => value * 1e-3);
  const answer = createSpaceAnswer(n);
  const before = performance.now();
  sampleSpace(space, points, n, Infinity, answer, createSpaceWork(space));
  const rate = n / (performance.now() - before);
  const peak = process.resourceUsage().maxRSS / 2 ** 10;
  console.log(`  ${n} points within 2 mm: ${rate.toFixed(0)}k/s; ready at ${lap()}, peak memory ${peak.toFixed(0)} MiB`);
  if (peak > 2048) process.exitCode = 1;
}

async function writeBinary(file: string, corners: Float64Array): Promise<void> {
  const count = corners.length / 9;
  const out = createWriteStream(file);
  const head = Buffer.alloc(84);
  head.writeUInt32LE(count, 80);
  out.write(head);
  const chunk = 20_000;
  for (let from = 0; from < count; from += chunk) {
    const many = Math.min(chunk, count - from);
    const bytes = Buffer.alloc(50 * many);
    for (let k = 0; k < many; k++) for (let i = 0; i < 9; i++) bytes.writeFloatLE(1e3 * corners[9 * (from + k) + i]!, 50 * k + 12 + 4 * i);
    if (!out.write(bytes)) await once(out, "drain");
  }
  out.end();
  await once(out, "finish");
}

async function writeText(file: string, corners: Float64Array): Promise<void> {
  const out = createWriteStream(file);
  out.write("solid bumpy\n");
  const chunk = 20_000;
  for (let from = 0; from < corners.length; from += 9 * chunk) {
    let text = "";
    for (let k = from; k < Math.min(from + 9 * chunk, corners.length); k += 9) {
      text += "  facet normal 0 0 0\n    outer loop\n";
      for (let c = k; c < k + 9; c += 3)
        text += `      vertex ${[0, 1, 2].map((i) => Math.fround(1e3 * corners[c + i]!).toExponential(6)).join(" ")}\n`;
      text += "    endloop\n  endfacet\n";
    }
    if (!out.write(text)) await once(out, "drain");
  }
  out.end("endsolid bumpy\n");
  await once(out, "finish");
}
