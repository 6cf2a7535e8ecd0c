/** Reads an example's files the way an application does: asks, gives, asks again. */
import { readFileSync } from "node:fs";
import { type Fault, InputError } from "../../src/base/index.ts";
import { type Job, loadArm, loadJob } from "../../src/job/index.ts";

export const exampleNames = ["valve-gallery", "valve-gallery-8", "water-box"] as const;

export function exampleFile(name: string, file: string): Uint8Array {
  return new Uint8Array(readFileSync(new URL(`../../examples/${name}/${file}`, import.meta.url)));
}

export function exampleText(name: string, file: string): string {
  return new TextDecoder().decode(exampleFile(name, file));
}

export function bytes(text: string): Uint8Array {
  return new TextEncoder().encode(text);
}

export function loadExample(name: string): Job {
  return loadFrom((path) => exampleFile(name, path));
}

/** Jobs that the tests alone use, so that examples can be tuned without them. */
export function sampleText(name: "box" | "gallery", file: string): string {
  return readFileSync(new URL(`./sample/${name}/${file}`, import.meta.url), "utf8");
}

/** @param changed  texts that stand in for files of the sample */
export function loadSample(name: "box" | "gallery", changed: Readonly<Record<string, string>> = {}): Job {
  return loadFrom((path) => (path.endsWith(".stl") ? boxMesh(110, 110, 900) : bytes(changed[path] ?? sampleText(name, path))));
}

function loadFrom(read: (path: string) => Uint8Array): Job {
  const files = new Map<string, Uint8Array>();
  for (let asked = 0; asked < 10; asked++) {
    const answer = loadJob("job.yaml", files);
    if (answer.kind === "job") return answer.job;
    for (const path of answer.paths) files.set(path, read(path));
  }
  throw new Error("asked for files without end");
}

/** Binary STL of a closed box about the origin, edges in file units. */
function boxMesh(...size: readonly [number, number, number]): Uint8Array {
  const triangles: number[][] = [];
  for (const [axis, side] of [0, 1, 2].flatMap(
    (k) =>
      [
        [k, -0.5],
        [k, 0.5],
      ] as const,
  )) {
    const at = (u: number, v: number): number[] => {
      const point = [0, 0, 0];
      point[axis] = side;
      point[(axis + 1) % 3] = u;
      point[(axis + 2) % 3] = v;
      return point.map((value, k) => value * (size[k] as number));
    };
    const corners = [at(-0.5, -0.5), at(0.5, -0.5), at(0.5, 0.5), at(-0.5, 0.5)] as const;
    const order =
      side > 0
        ? [
            [0, 1, 2],
            [0, 2, 3],
          ]
        : [
            [0, 2, 1],
            [0, 3, 2],
          ];
    for (const turn of order) triangles.push(turn.flatMap((k) => corners[k] as number[]));
  }
  const mesh = new Uint8Array(84 + 50 * triangles.length);
  const view = new DataView(mesh.buffer);
  view.setUint32(80, triangles.length, true);
  triangles.forEach((corners, t) => {
    corners.forEach((value, k) => {
      view.setFloat32(84 + 50 * t + 12 + 4 * k, value, true);
    });
  });
  return mesh;
}

export function loadArmText(text: string) {
  const answer = loadArm("arm.yaml", new Map([["arm.yaml", bytes(text)]]));
  if (answer.kind !== "arm") throw new Error("an arm file needs no other");
  return answer;
}

export function faultsOf(run: () => unknown): readonly Fault[] {
  try {
    run();
  } catch (error) {
    if (error instanceof InputError) return error.faults;
    throw error;
  }
  throw new Error("nothing was refused");
}

/** `text` with `from` replaced, which must be there exactly once. */
export function swap(text: string, from: string, to: string): string {
  if (text.split(from).length !== 2) throw new Error(`${JSON.stringify(from)} stands ${text.split(from).length - 1} times`);
  return text.replace(from, to);
}
