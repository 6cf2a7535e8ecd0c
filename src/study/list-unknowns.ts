/** Numbers of a job that are not surely known, and one draw of them all. */
import type { ArmDescription } from "../arm/index.ts";
import { createRandom } from "../base/index.ts";
import { listParameters, type ParameterName, untouched } from "../fit/index.ts";
import type { Job, JobSource, UnsureNumber } from "../job/index.ts";
import { factorCholesky } from "../math/index.ts";

/** One number. Plain data. */
export interface Unknown {
  /** what people find it by: a path in a file, a fitted value, a part of the port's place */
  readonly name: string;
  readonly from: "job" | "arm" | "fit" | "port";
  /** `even`: anything from low to high; `normal`: about the nominal, `spread` is one standard deviation; `ball`, `disc`: anywhere in one of radius high */
  readonly law: "even" | "normal" | "ball" | "disc";
  readonly nominal: number;
  readonly low: number;
  readonly high: number;
  readonly spread: number;
}

/** What a draw depends on. */
export interface Unknowns {
  readonly list: readonly Unknown[];
  /** [fitted, fitted] lower factor of the correlations that a fit left, of the unknowns from `fit` in their order */
  readonly factor: Float64Array;
}

/** Ranges that a fitted value stands in for, in the arm's file. */
const standsFor: Readonly<Record<ParameterName, RegExp>> = {
  stiffness: /\.young-modulus$/,
  stretch: /\.effective-modulus$|^conduit-stiffness$|^drive-stiffness$/,
  "effective-length": /\.effective-length$/,
  "hole-friction": /^friction\.holes$/,
  "conduit-friction": /^friction\.conduit$/,
  play: /\.play\.bend$/,
};

/** Numbers that nothing here is judged by: what is kept on a drum, how a swing dies away. */
const noMatter = /^drum\.|^damping$/;

/** Parts of the port's place and tilt: along x, y, z of the port (z into the machine), m; about its x and y, rad. */
export const portParts = ["port.place x", "port.place y", "port.place z", "port.tilt x", "port.tilt y"] as const;

export function listUnknowns(job: Pick<Job, "arm" | "port">, source: Pick<JobSource, "unsure">): Unknowns {
  const fitted = listFitted(job.arm);
  const isFitted = (path: string): boolean => fitted.some(({ name }) => standsFor[name as ParameterName].test(path));
  const written = (from: "job" | "arm", unsure: Readonly<Record<string, UnsureNumber>>): Unknown[] =>
    Object.entries(unsure)
      .filter(([path]) => !(from === "arm" && (noMatter.test(path) || isFitted(path))))
      .map(([name, { law, nominal, low, high }]) => ({
        name,
        from,
        law,
        nominal,
        low,
        high,
        spread: law === "normal" ? (high - low) / 2 : 0,
      }));
  const list = [...fitted, ...written("arm", source.unsure.arm), ...written("job", source.unsure.job), ...listPort(job.port)];
  return { list, factor: factorOf(job.arm, fitted) };
}

function listFitted(arm: ArmDescription): Unknown[] {
  const spreads = arm.fitted?.spreads ?? {};
  return listParameters(arm).flatMap(({ name, low, high }): Unknown[] => {
    const spread = spreads[name] ?? 0;
    return spread > 0 ? [{ name, from: "fit", law: "normal", nominal: untouched[name], low, high, spread }] : [];
  });
}

function listPort({ placeTolerance, tiltTolerance }: Job["port"]): Unknown[] {
  return portParts.flatMap((name, k): Unknown[] => {
    const high = k < 3 ? placeTolerance : tiltTolerance;
    return high > 0 ? [{ name, from: "port", law: k < 3 ? "ball" : "disc", nominal: 0, low: -high, high, spread: 0 }] : [];
  });
}

function factorOf(arm: ArmDescription, fitted: readonly Unknown[]): Float64Array {
  const n = fitted.length;
  const factor = new Float64Array(n * n);
  const fill = (shrink: number): void => {
    for (let a = 0; a < n; a++)
      for (let b = 0; b < n; b++) {
        const [one, two] = [fitted[a]?.name as ParameterName, fitted[b]?.name as ParameterName];
        const said = arm.fitted?.correlations.find(({ between }) => between.includes(one) && between.includes(two))?.is ?? 0;
        factor[a * n + b] = a === b ? 1 : shrink * said;
      }
  };
  fill(1);
  // written to a few digits, correlations near 1 may be no correlations together: shrunk until they are
  for (let shrink = 0.999; n > 0 && !factorCholesky(factor, n, n); shrink *= 0.99) fill(shrink);
  return factor;
}

/** One draw. It follows from seed and index alone. @returns [unknown] values, SI */
export function drawValues({ list, factor }: Unknowns, seed: number, index: number): Float64Array {
  const random = createRandom(mixSeed(seed, index));
  const normal = normalOf(random);
  const values = new Float64Array(list.length);
  const n = list.filter(({ from }) => from === "fit").length;
  const plain = Float64Array.from({ length: n }, normal);
  const ball = inBall(random, 3);
  const disc = inBall(random, 2);
  list.forEach((unknown, k) => {
    const { law, nominal, low, high, spread } = unknown;
    if (unknown.from === "fit") {
      let sum = 0;
      for (let j = 0; j <= k; j++) sum += (factor[k * n + j] as number) * (plain[j] as number);
      values[k] = Math.min(high, Math.max(low, nominal + spread * sum));
    } else if (unknown.from === "port") {
      const part = portParts.indexOf(unknown.name as (typeof portParts)[number]);
      values[k] = high * ((part < 3 ? ball[part] : disc[part - 3]) as number);
    } else values[k] = law === "normal" ? nominal + spread * normal() : low + (high - low) * random();
  });
  return values;
}

/** Neighbouring seeds and indices begin far apart. */
function mixSeed(seed: number, index: number): number {
  let h = Math.imul(seed ^ 0x9e3779b9, 0x85ebca6b) ^ Math.imul(index + 1, 0xc2b2ae35);
  h = Math.imul(h ^ (h >>> 16), 0x7feb352d);
  h = Math.imul(h ^ (h >>> 15), 0x846ca68b);
  return (h ^ (h >>> 16)) >>> 0;
}

/** Standard normal numbers, two by two. @see docs/sources.md#draws (Box and Muller) */
export function normalOf(random: () => number): () => number {
  let kept: number | undefined;
  return () => {
    if (kept !== undefined) {
      const value = kept;
      kept = undefined;
      return value;
    }
    const radius = Math.sqrt(-2 * Math.log(1 - random()));
    const angle = 2 * Math.PI * random();
    kept = radius * Math.sin(angle);
    return radius * Math.cos(angle);
  };
}

/** Anywhere in a ball (or disc) of radius 1, by trial. */
function inBall(random: () => number, size: 2 | 3): readonly number[] {
  for (;;) {
    const place = Array.from({ length: size }, () => 2 * random() - 1);
    if (place.reduce((sum, v) => sum + v * v, 0) <= 1) return place;
  }
}
