/** What is named within a section, the gaps that are measured there, and what words should not cover. */
import type { ArmModel } from "../arm/index.ts";
import type { DepthRecord } from "../insertion/index.ts";
import type { Job } from "../job/index.ts";
import type { PlanResult } from "../plan/index.ts";
import { acrossGap } from "./dimension-lines.ts";
import { listBends } from "./list-bends.ts";
import { mark } from "./page.ts";
import type { Label } from "./place-labels.ts";
import { beforePlane, type Cut } from "./section-plane.ts";
import { fixed, type Pixel, pane, type Sheet, short } from "./section-sheet.ts";

/** What is named within the picture, and the gaps that are measured there. */
export function gatherNotes(
  sheet: Sheet,
  job: Job,
  arm: ArmModel,
  result: PlanResult,
  last: DepthRecord | undefined,
  depths: readonly number[] | undefined,
): { notes: Label[]; marks: SVGElement[] } {
  const { page, view, length } = sheet;
  const { port, target } = job;
  const notes: Label[] = [];
  const across = [0, 1, 2].map(
    (i) => view.towards[(i + 1) % 3]! * port.axis[(i + 2) % 3]! - view.towards[(i + 2) % 3]! * port.axis[(i + 1) % 3]!,
  );
  const rim = (sign: number): Pixel => sheet.toPixel([0, 1, 2].map((i) => port.centre[i]! + (sign * port.bore * across[i]!) / 2));
  const marks = acrossGap(page, rim(-1), rim(1));
  notes.push({ lines: [`${port.name}: bore \u2300${short(port.bore, length)}`], anchor: rim(1) });
  const place = sheet.toPixel(target.place);
  marks.push(mark(page, "path", { d: `M${fixed(place[0] - 7)},${fixed(place[1])}h14m-7,-7v14`, stroke: "#c00", "stroke-width": 1.6 }));
  notes.push({ lines: [`target: ${target.name}`], anchor: place });
  const row = result.verdict.rows.find(({ id }) => id === "clearance");
  if (row !== undefined && row.where.place !== undefined && Number.isFinite(row.limit)) {
    const [x, y] = sheet.toPixel(row.where.place);
    const off = beforePlane(view, row.where.place);
    const away = Math.abs(off) < 0.5e-3 ? "" : `, ${short(Math.abs(off), length)} ${off > 0 ? "before" : "behind"} the plane`;
    marks.push(mark(page, "circle", { cx: fixed(x), cy: fixed(y), r: 9, fill: "none", stroke: "#c00", "stroke-width": 1.4 }));
    notes.push({
      lines: [
        `least clearance ${short(row.limit, length)} to ${job.bodies[row.where.body ?? 0]?.name ?? "a body"}`,
        `way ${row.where.way ?? "in"}, ${short(row.where.depth ?? 0, length)} deep${away}`,
      ],
      anchor: [x, y],
    });
  }
  if (last !== undefined) {
    const tool = sheet.toPixel(last.tool);
    const gap = Math.sqrt([0, 1, 2].reduce((sum, i) => sum + (last.tool[i]! - target.place[i]!) ** 2, 0));
    marks.push(...acrossGap(page, tool, place));
    notes.push({ lines: [`stand-off ${short(gap, length)}`], anchor: [(tool[0] + place[0]) / 2, (tool[1] + place[1]) / 2] });
    notes.push({
      lines: [
        `arm \u2300${short(Math.max(...job.arm.sections.map((s) => s.outerDiameter)), length)}, ${short(last.depth, length)} out of ${port.name}`,
      ],
      anchor: middleOf(sheet, arm, last),
    });
    for (const { place: at, radius } of listBends(result.route.curve))
      notes.push({ lines: [`R ${short(radius, length)}`], anchor: sheet.toPixel(at) });
    for (const record of posesOf(result, depths))
      notes.push({ lines: [`tool at ${short(record.depth, length)} deep`], anchor: sheet.toPixel(record.tool) });
  }
  job.bodies.forEach((body) => {
    if (body.zone === "keep-out") notes.push({ lines: [`keep out: ${body.name}`], anchor: sheet.toPixel(body.placement.at) });
  });
  return {
    notes: notes.filter(({ anchor: [x, y] }) => x > pane.x && x < pane.x + pane.width && y > pane.y && y < pane.y + pane.height),
    marks,
  };
}

export function posesOf({ wayIn }: PlanResult, depths: readonly number[] | undefined): DepthRecord[] {
  const deepest = wayIn.at(-1)?.depth;
  if (deepest === undefined) return [];
  const nearest = (wanted: number): DepthRecord =>
    wayIn.reduce((best, r) => (Math.abs(r.depth - wanted) < Math.abs(best.depth - wanted) ? r : best));
  return [...new Set((depths ?? [deepest / 3, (2 * deepest) / 3]).map(nearest))].filter((record) => record.depth < 0.95 * deepest);
}

function middleOf(sheet: Sheet, arm: ArmModel, { frames, firstFree }: DepthRecord): Pixel {
  const i = Math.round((firstFree + 2 * arm.spans) / 3);
  return sheet.toPixel(frames.subarray(12 * i + 9, 12 * i + 12));
}

/** Places that words should not cover. */
export function inkOf(
  sheet: Sheet,
  job: Job,
  cuts: readonly Cut[],
  outlines: readonly (readonly (readonly [number, number])[])[],
): Pixel[] {
  const out: Pixel[] = [];
  const walk = (points: readonly Pixel[]): void => {
    for (let k = 1; k < points.length; k++) {
      const [a, b] = [points[k - 1]!, points[k]!];
      const steps = Math.min(200, Math.ceil(Math.sqrt((b[0] - a[0]) ** 2 + (b[1] - a[1]) ** 2) / 8));
      for (let i = 0; i < steps; i++) {
        const p: Pixel = [a[0] + ((b[0] - a[0]) * i) / steps, a[1] + ((b[1] - a[1]) * i) / steps];
        if (p[0] > pane.x && p[0] < pane.x + pane.width && p[1] > pane.y && p[1] < pane.y + pane.height) out.push(p);
      }
    }
  };
  const [a, b] = [sheet.toPixel(job.port.centre), sheet.toPixel(job.target.place)];
  // lines that come from the dimensions beside the picture
  for (const p of [a, b]) {
    walk([p, [p[0], pane.y + pane.height]]);
    walk([[pane.x, p[1]], p]);
  }
  for (const cut of cuts) for (const line of [...cut.loops, ...cut.lines]) walk(sheet.toPixels(line));
  for (const outline of outlines) walk(sheet.toPixels([...outline, outline[0]!]));
  return out;
}
