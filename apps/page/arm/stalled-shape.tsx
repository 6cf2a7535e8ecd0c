/** The arm before, where it was sent, and where it ends with one drive stalled: seen across the plane it was sent in, to one scale. */
import type { StalledCase } from "../../worker/index.ts";
import { sayLength } from "../say.ts";
import { lengthUnit } from "../state/store.ts";
import { isKnown, sayStatus } from "./say-maps.ts";
import { useSize } from "./use-size.ts";

interface Props {
  readonly one: StalledCase | undefined;
  readonly names: readonly string[];
  readonly looked: number;
  readonly look: (index: number) => void;
  readonly old: boolean;
}

/** px */
const side = 14;

export function StalledShape({ one, names, looked, look, old }: Props) {
  const { host, width, height } = useSize<HTMLDivElement>();
  const shapes = one === undefined ? [] : [one.startShape, one.goalShape, ...(isKnown(one.status) ? [one.shape] : [])];
  return (
    <section class={old ? "map old" : "map"} aria-label="Shape with the drive stalled">
      <header class="map-head">
        <h3>Shape</h3>
        <select
          class="stalled-pick"
          aria-label="Drive that stalls"
          data-test="stalled-pick"
          value={looked}
          onChange={(event) => look(Number(event.currentTarget.value))}
        >
          {names.map((name, k) => (
            <option key={name} value={k}>
              {name}
            </option>
          ))}
        </select>
      </header>
      <div class="map-body stalled-shape" ref={host}>
        {width < 60 || height < 40 || one === undefined ? null : <Drawing shapes={shapes} width={width} height={height} />}
      </div>
      <p class="readout" data-test="reading-shape">
        {one === undefined
          ? ""
          : isKnown(one.status)
            ? `Thin: before. Dashed: where it was sent. Thick: with the drive stalled; the tool point has moved ${sayLength(one.moved, lengthUnit.value)}.`
            : `Thin: before. Dashed: where it was sent. With the drive stalled: ${sayStatus(one.status)}.`}
      </p>
    </section>
  );
}

function Drawing({
  shapes,
  width,
  height,
}: {
  readonly shapes: readonly (readonly number[])[];
  readonly width: number;
  readonly height: number;
}) {
  const flat = shapes.map(planeOf(shapes));
  const all = flat.flat();
  const low = [0, 1].map((k) => Math.min(...all.map((point) => point[k] as number))) as [number, number];
  const high = [0, 1].map((k) => Math.max(...all.map((point) => point[k] as number))) as [number, number];
  const scale = Math.min((width - 2 * side) / Math.max(1e-6, high[0] - low[0]), (height - 2 * side) / Math.max(1e-6, high[1] - low[1]));
  const left = (width - (high[0] - low[0]) * scale) / 2;
  const foot = (height + (high[1] - low[1]) * scale) / 2;
  const path = (points: readonly (readonly [number, number])[]): string =>
    points
      .map(([x, y], k) => `${k === 0 ? "M" : "L"}${(left + (x - low[0]) * scale).toFixed(1)},${(foot - (y - low[1]) * scale).toFixed(1)}`)
      .join("");
  return (
    <svg width={width} height={height} role="img" aria-label="The arm before, where it was sent, and with the drive stalled">
      {flat.map((points, k) => (
        <path key={looks[k]} class={looks[k]} d={path(points)} data-test={`shape-${looks[k]}`} />
      ))}
    </svg>
  );
}

const looks = ["before", "sent", "stalled"] as const;

type Vector = readonly [number, number, number];

/**
 * Across the page is the line from the base to where the end was before, up the page the way its end was sent: what differs between the shapes
 * lies in that plane all but for what a stalled drive turns out of it.
 */
function planeOf(shapes: readonly (readonly number[])[]) {
  const [start, goal] = [shapes[0] ?? [], shapes[1] ?? []];
  const end = (shape: readonly number[]): Vector => [shape.at(-3) as number, shape.at(-2) as number, shape.at(-1) as number];
  const base: Vector = [start[0] as number, start[1] as number, start[2] as number];
  const across = unit(minus(end(start), base));
  const sent = minus(end(goal), end(start));
  const aside = unit(minus(sent, times(across, dot(sent, across))));
  // what is lower stays lower
  const up = aside[2] < -1e-3 ? times(aside, -1) : aside;
  return (shape: readonly number[]): (readonly [number, number])[] =>
    Array.from({ length: shape.length / 3 }, (_, i) => {
      const from = minus([shape[3 * i] as number, shape[3 * i + 1] as number, shape[3 * i + 2] as number], base);
      return [dot(from, across), dot(from, up)] as const;
    });
}

function minus(a: Vector, b: Vector): Vector {
  return [a[0] - b[0], a[1] - b[1], a[2] - b[2]];
}

function times(a: Vector, by: number): Vector {
  return [by * a[0], by * a[1], by * a[2]];
}

function dot(a: Vector, b: Vector): number {
  return a[0] * b[0] + a[1] * b[1] + a[2] * b[2];
}

function unit(a: Vector): Vector {
  const size = Math.sqrt(dot(a, a));
  return size > 1e-12 ? times(a, 1 / size) : [1, 0, 0];
}
