import { parseHTML } from "linkedom";
import { describe, expect, test } from "vitest";
import { hatch } from "../../src/report/hatch.ts";
import { sectionSvg } from "../../src/report/index.ts";
import { listBends } from "../../src/report/list-bends.ts";
import { meet, type PlacedLabel, placeLabels } from "../../src/report/place-labels.ts";
import { beforePlane, cutBody, isWithin, sectionPlane } from "../../src/report/section-plane.ts";
import { type Body, drawBody } from "../../src/space/index.ts";
import { identity } from "../insertion/made-route.ts";
import { makeBlocked, makeJob, makePlan } from "./made-plan.ts";

const job = makeJob();
const plan = makePlan(job);
const view = sectionPlane(job);

function solid(shape: Body["shape"]): Body {
  return { name: "solid", shape, placement: { ...identity, at: job.port.centre }, touch: { kind: "free" } };
}

describe("the plane", () => {
  test("holds the port's axis and the target; up is against gravity, the target to the right", () => {
    const { port, target, conditions } = job;
    const along = [0, 1, 2].map((i) => (port.centre[i] as number) + (port.axis[i] as number));
    for (const place of [port.centre, along, target.place]) expect(Math.abs(beforePlane(view, place))).toBeLessThan(1e-15);
    const dot = (a: readonly number[], b: readonly number[]): number => a.reduce((sum, x, i) => sum + x * (b[i] as number), 0);
    expect(dot(view.up, conditions.gravity)).toBeLessThan(0);
    expect(
      dot(
        view.right,
        target.place.map((x, i) => x - (port.centre[i] as number)),
      ),
    ).toBeGreaterThan(0);
    for (const [a, b, is] of [
      [view.right, view.up, 0],
      [view.right, view.towards, 0],
      [view.up, view.up, 1],
      [view.towards, view.towards, 1],
    ] as const)
      expect(dot(a, b)).toBeCloseTo(is, 14);
  });

  test("a target straight ahead, or a plane that lies flat, still has one", () => {
    const { port } = job;
    const straight = {
      ...job,
      target: {
        ...job.target,
        place: port.centre.map((x, i) => x + 0.3 * (port.axis[i] as number)) as unknown as readonly [number, number, number],
      },
    };
    const flat = sectionPlane(job, job.conditions.gravity);
    for (const made of [sectionPlane(straight), flat])
      for (const axis of [made.right, made.up, made.towards]) expect(Math.hypot(...axis)).toBeCloseTo(1, 14);
  });
});

describe("what the plane cuts", () => {
  const area = (loop: readonly (readonly [number, number])[]): number =>
    Math.abs(loop.slice(1).reduce((sum, b, k) => sum + (loop[k]![0] * b[1] - loop[k]![1] * b[0]) / 2, 0));

  test("a ball by its middle: one circle, whose area is pi r squared but for its chords", () => {
    const { loops, lines } = cutBody(view, drawBody(solid({ kind: "sphere", radius: 0.05 })));
    expect([loops.length, lines.length]).toEqual([1, 0]);
    expect(Math.abs(area(loops[0]!) / (Math.PI * 0.05 ** 2) - 1)).toBeLessThan(5e-3);
    expect(isWithin(loops, [0.02, 0.03])).toBe(true);
    expect(isWithin(loops, [0.04, 0.04])).toBe(false);
  });

  test("a cube by its middle: 0.1 x 0.1; a ring: two circles; an open bore: lines that do not close", () => {
    const cube = cutBody(view, drawBody(solid({ kind: "box", size: [0.1, 0.1, 0.1] })));
    expect(cube.lines.length).toBe(0);
    expect(cube.loops.length).toBe(1);
    const bore = cutBody(view, drawBody(solid({ kind: "reducer", radii: [0.02, 0.02], length: 0.1 })));
    expect(bore.loops.length === 1 || bore.lines.length === 2).toBe(true);
  });

  test("hatching of a square with a square hole covers the metal alone: length x spacing is its area", () => {
    const square = (h: number): [number, number][] => [[-h, -h], [h, -h], [h, h], [-h, h], [-h, -h]]; // biome-ignore format: one row
    const lines = hatch([square(100), square(40)], 1, 0.5);
    const length = lines.reduce((sum, [a, b]) => sum + Math.hypot(a[0] - b[0], a[1] - b[1]), 0);
    expect(Math.abs((length * 0.5) / (200 ** 2 - 80 ** 2) - 1)).toBeLessThan(1e-3);
  });
});

test("bends: a quarter turn of 120 mm between straights is told once, with its radius", () => {
  const point: number[] = [];
  const put = (x: number, z: number): unknown => point.push(x, 0, z);
  for (let k = 0; k < 60; k++) put(0, (0.2 * k) / 60);
  for (let k = 0; k < 60; k++) put(0.12 * (1 - Math.cos((k / 60) * (Math.PI / 2))), 0.2 + 0.12 * Math.sin((k / 60) * (Math.PI / 2)));
  for (let k = 0; k <= 60; k++) put(0.12 + (0.2 * k) / 60, 0.32);
  const count = point.length / 3;
  const arc = new Float64Array(count);
  for (let k = 1; k < count; k++)
    arc[k] = arc[k - 1]! + Math.hypot(point[3 * k]! - point[3 * k - 3]!, point[3 * k + 2]! - point[3 * k - 1]!);
  const bends = listBends({ count, arc, point: Float64Array.from(point) } as never);
  expect(bends.length).toBe(1);
  expect(bends[0]!.radius).toBeCloseTo(0.12, 4);
});

describe("words", () => {
  const frame = { x: 0, y: 0, width: 900, height: 500 };

  test("200 crowded labels: none over another, none out of the frame, no leader through words", () => {
    const labels = Array.from({ length: 200 }, (_, k) => ({
      lines: [`label ${k}`],
      anchor: [100 + ((k * 97) % 700), 60 + ((k * 61) % 380)] as const,
    }));
    const placed = placeLabels(labels, frame, [], []);
    expect(placed.length).toBeGreaterThan(25);
    placed.forEach((a: PlacedLabel, i) => {
      expect(a.box.x >= 0 && a.box.y >= 0 && a.box.x + a.box.width <= 900 && a.box.y + a.box.height <= 500).toBe(true);
      for (const b of placed.slice(i + 1)) expect(meet(a.box, b.box)).toBe(false);
    });
  });
});

describe("the drawing", () => {
  const text = sectionSvg(job, plan);
  const texts = [...parseHTML(text).document.querySelectorAll("text")].map((element) => element.textContent ?? "");

  test("is an SVG of A4, well formed, that fetches nothing", () => {
    expect(text.startsWith('<?xml version="1.0" encoding="UTF-8"?>\n<svg')).toBe(true);
    for (const size of ['width="297mm"', 'height="210mm"', 'viewBox="0 0 1000 707"']) expect(text).toContain(size);
    expect(text).not.toMatch(/url\(|href|<script|NaN|undefined|Infinity/);
  });

  test("names port, bore, target, stand-off, clearance and the target's offsets from the port", () => {
    const { port, target } = job;
    const all = texts.join("\n");
    expect(all).toContain(`bore \u2300${1e3 * port.bore}`);
    expect(all).toContain(`target: ${target.name}`);
    const last = plan.wayIn.at(-1)!;
    const gap = 1e3 * Math.hypot(...[0, 1, 2].map((i) => last.tool[i]! - target.place[i]!));
    expect(all).toContain(`stand-off ${Number(gap.toFixed(1))}`);
    expect(all).toContain("Dimensions in mm; simulated");
  });

  test("in inches the same drawing with other numbers; without a route still a drawing", () => {
    const inch = sectionSvg(job, plan, { units: "inch" });
    expect(inch).toContain("Dimensions in inch");
    expect(inch).toContain(`bore \u2300${Number((job.port.bore / 0.0254).toFixed(3))}`);
    expect(sectionSvg(job, makeBlocked(job))).toContain("No route was found");
  });

  test("a name cannot break out of the drawing", () => {
    const bad = { ...job, port: { ...job.port, name: '<b>&"port' } };
    expect(sectionSvg(bad, plan)).not.toContain("<b>");
  });
});
