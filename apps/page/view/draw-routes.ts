/**
 * What there is besides the planned way: the other routes, thin; and where there is no route, how far the widest way goes, the ring
 * of its narrowest place beside the ring that the body needs, and the best curve tried with its sharpest bend.
 */
import {
  BufferGeometry,
  Group,
  LineBasicMaterial,
  LineDashedMaterial,
  LineLoop,
  LineSegments,
  type PerspectiveCamera,
  Quaternion,
  Vector3,
} from "three";
import { Line2 } from "three/addons/lines/Line2.js";
import { LineGeometry } from "three/addons/lines/LineGeometry.js";
import { LineMaterial } from "three/addons/lines/LineMaterial.js";
import type { Obstacle, Route } from "../../../src/path/index.ts";
import type { OfferedRoute } from "../../../src/plan/index.ts";
import { disposeAll } from "./draw-guides.ts";
import { colour, type Inks } from "./theme.ts";

/** What is to be drawn. */
export interface RoutesShown {
  /** those to choose from but the one planned by */
  readonly others: readonly OfferedRoute[];
  /** number of the one that is pointed at */
  readonly pointed: number | undefined;
  /** where none was found: what stands in the way */
  readonly blocked: Route | undefined;
}

export interface RoutesDrawing {
  readonly group: Group;
  dispose(): void;
}

const zAxis = new Vector3(0, 0, 1);

export function createRoutesDrawing(shown: RoutesShown, origin: readonly number[], inks: Inks): RoutesDrawing {
  const group = new Group();
  const flat = (points: ArrayLike<number>): number[] => Array.from(points, (value, i) => value - (origin[i % 3] as number));
  for (const { number, route } of shown.others) {
    if (route.curve === undefined) continue;
    const pointed = number === shown.pointed;
    group.add(line(flat(route.curve.point), pointed ? inks.cursor : inks.aim, pointed ? 3.2 : 1.8));
  }
  const { blocked } = shown;
  if (blocked !== undefined) {
    if (blocked.reached !== undefined) group.add(line(flat(blocked.reached), inks.plan, 2.4));
    if (blocked.beyond !== undefined) group.add(dashed(flat(blocked.beyond), inks.over));
    if (blocked.curve !== undefined) group.add(dashed(flat(blocked.curve.point), inks.over));
    for (const obstacle of blocked.obstacles) addObstacle(group, obstacle, blocked, origin, inks);
  }
  return { group, dispose: () => disposeAll(group) };
}

/** Number of the route whose line is nearest to a place of the canvas, px, within reach of a fingertip. */
export function routeAt(
  shown: RoutesShown,
  camera: PerspectiveCamera,
  canvas: HTMLCanvasElement,
  local: (p: readonly number[]) => Vector3,
  x: number,
  y: number,
): number | undefined {
  let best: number | undefined;
  let least = 10;
  for (const { number, route } of shown.others) {
    const curve = route.curve;
    for (let i = 0; curve !== undefined && i < curve.count; i += 2) {
      const seen = local([...curve.point.subarray(3 * i, 3 * i + 3)]).project(camera);
      if (seen.z > 1) continue;
      const far = Math.hypot((0.5 + 0.5 * seen.x) * canvas.clientWidth - x, (0.5 - 0.5 * seen.y) * canvas.clientHeight - y);
      if (far >= least) continue;
      least = far;
      best = number;
    }
  }
  return best;
}

/** The free ring of a passage beside the one that is needed; the circle that a bend lies on. */
function addObstacle(group: Group, obstacle: Obstacle, route: Route, origin: readonly number[], inks: Inks): void {
  const at = new Vector3(...obstacle.place).sub(new Vector3(...(origin as [number, number, number])));
  if (obstacle.kind === "narrow") {
    const along = new Vector3(...(obstacle.along ?? [0, 0, 1]));
    if (obstacle.is > 0) group.add(ring(at, along, obstacle.is, inks.over, false));
    group.add(ring(at, along, obstacle.needed, inks.warn, true));
  }
  const { curve } = route;
  if (obstacle.kind === "bend" && curve !== undefined) {
    const k = nearestSample(curve.point, obstacle.place);
    const tangent = new Vector3().fromArray(curve.tangent as unknown as number[], 3 * k);
    const next = new Vector3().fromArray(curve.tangent as unknown as number[], 3 * Math.min(curve.count - 1, k + 1));
    const normal = tangent.clone().cross(next);
    if (normal.length() < 1e-12 || obstacle.is <= 0) return;
    normal.normalize();
    const inward = normal.clone().cross(tangent).normalize();
    // the circle the curve bends on there, and the least one the arm can follow
    group.add(ring(at.clone().addScaledVector(inward, obstacle.is), normal, obstacle.is, inks.over, false));
    group.add(ring(at.clone().addScaledVector(inward, obstacle.needed), normal, obstacle.needed, inks.warn, true));
  }
}

function nearestSample(points: Float64Array, place: readonly number[]): number {
  let best = 0;
  let least = Number.POSITIVE_INFINITY;
  for (let i = 0; 3 * i < points.length; i++) {
    const d = [0, 1, 2].reduce((sum, k) => sum + ((points[3 * i + k] as number) - (place[k] as number)) ** 2, 0);
    if (d >= least) continue;
    least = d;
    best = i;
  }
  return best;
}

function line(points: readonly number[], ink: string, width: number): Line2 {
  const made = new Line2(
    new LineGeometry().setPositions([...points]),
    new LineMaterial({ color: colour(ink), linewidth: width, depthTest: false, transparent: true }),
  );
  made.renderOrder = 3;
  return made;
}

function dashed(points: readonly number[], ink: string): LineSegments {
  const corners: Vector3[] = [];
  for (let i = 0; i + 5 < points.length; i += 3) corners.push(new Vector3().fromArray(points, i), new Vector3().fromArray(points, i + 3));
  const made = new LineSegments(
    new BufferGeometry().setFromPoints(corners),
    new LineDashedMaterial({ color: colour(ink), dashSize: 0.008, gapSize: 0.006, depthTest: false, transparent: true }),
  );
  made.computeLineDistances();
  made.renderOrder = 3;
  return made;
}

function ring(at: Vector3, axis: Vector3, radius: number, ink: string, isDashed: boolean): LineLoop {
  const points = Array.from({ length: 73 }, (_, k) =>
    new Vector3(Math.cos((Math.PI * k) / 36), Math.sin((Math.PI * k) / 36), 0).multiplyScalar(radius),
  );
  const material = isDashed
    ? new LineDashedMaterial({ color: colour(ink), dashSize: radius / 8, gapSize: radius / 12, depthTest: false, transparent: true })
    : new LineBasicMaterial({ color: colour(ink), depthTest: false, transparent: true });
  const loop = new LineLoop(new BufferGeometry().setFromPoints(points), material);
  if (isDashed) loop.computeLineDistances();
  loop.quaternion.copy(new Quaternion().setFromUnitVectors(zAxis, axis.clone().normalize()));
  loop.position.copy(at);
  loop.renderOrder = 4;
  return loop;
}
