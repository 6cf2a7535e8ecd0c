/**
 * The closest point of a mesh of 100 000 triangles: own tree against the three-mesh-bvh library, alternating in one process.
 * Run: npx tsx bench/closest-point.ts
 *
 * Prints, for points anywhere, near the surface and in order along a body: questions a second and the ratio, as medians over the
 * rounds with the least and greatest; the time to build; and the greatest difference of the two answers.
 */
import { BufferAttribute, BufferGeometry, Vector3 } from "three";
import { MeshBVH } from "three-mesh-bvh";
import { createRandom } from "../src/base/index.ts";
import { createSpace, createSpaceAnswer, createSpaceWork, sampleSpace } from "../src/space/index.ts";
import { bumpyMesh, pointsAbout, pointsAlong, pointsNear } from "./bumpy-mesh.ts";

const rounds = 9;
const batch = 20_000;

const corners = bumpyMesh(100_000);
const body = {
  name: "mesh",
  shape: { kind: "mesh", corners, unit: 1 },
  placement: { at: [0, 0, 0], rotation: [1, 0, 0, 0, 1, 0, 0, 0, 1] },
  touch: { kind: "free" },
} as const;

const makeOwn = () => createSpace([body]);
const makeTheirs = () => {
  const geometry = new BufferGeometry();
  geometry.setAttribute("position", new BufferAttribute(Float32Array.from(corners), 3));
  return new MeshBVH(geometry);
};

console.log(`${corners.length / 9} triangles, Node ${process.version}`);
const built: [number[], number[]] = [[], []];
for (let k = 0; k < 5; k++) {
  built[0].push(time(makeOwn));
  built[1].push(time(makeTheirs));
}
console.log(`build: own ${say(built[0], 1e3, " ms")}, library ${say(built[1], 1e3, " ms")}`);

const space = makeOwn();
const bvh = makeTheirs();
const answer = createSpaceAnswer(batch);
const work = createSpaceWork(space);
const point = new Vector3();
const target = { point: new Vector3(), distance: 0, faceIndex: 0 };
const theirs = new Float64Array(batch);

const random = createRandom(7);
const sets: readonly (readonly [string, Float64Array])[] = [
  ["anywhere", pointsAbout(batch, random)],
  ["within 2 mm of the surface", pointsNear(corners, batch, 2e-3, random)],
  ["in order along a body", pointsAlong(batch)],
];
for (const [name, points] of sets) {
  const own = (): void => sampleSpace(space, points, batch, Infinity, answer, work);
  const library = (): void => {
    for (let k = 0; k < batch; k++) {
      point.set(points[3 * k]!, points[3 * k + 1]!, points[3 * k + 2]!);
      bvh.closestPointToPoint(point, target);
      theirs[k] = target.distance;
    }
  };
  own();
  library();
  const rates: [number[], number[], number[]] = [[], [], []];
  for (let k = 0; k < rounds; k++) {
    const a = time(own);
    const b = time(library);
    rates[0].push(batch / a);
    rates[1].push(batch / b);
    rates[2].push(b / a);
  }
  let apart = 0;
  for (let k = 0; k < batch; k++) apart = Math.max(apart, Math.abs(theirs[k]! - answer.distance[k]!));
  console.log(
    `${name}: own ${say(rates[0], 1e-3, "k/s")}, library ${say(rates[1], 1e-3, "k/s")}, ratio ${say(rates[2], 1, "x")}; answers differ by ${apart.toExponential(1)} m at most`,
  );
  // the library's triangles are built from single-precision boxes; its answers must agree to that
  if (!(apart < 1e-7)) process.exitCode = 1;
}

function time(run: () => unknown): number {
  const start = performance.now();
  run();
  return (performance.now() - start) / 1e3;
}

/** Median with the least and greatest. */
function say(values: readonly number[], scale: number, unit: string): string {
  const sorted = values.map((value) => value * scale).sort((a, b) => a - b);
  const show = (value: number): string => (value >= 100 ? value.toFixed(0) : value.toPrecision(3));
  return `${show(sorted[sorted.length >> 1]!)}${unit} (${show(sorted[0]!)} to ${show(sorted.at(-1)!)})`;
}
