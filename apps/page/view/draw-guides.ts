/**
 * What is planned and asked for, drawn beside the arm: the route with the body it makes room for, the port's axis and
 * guide, the target with its cone of aims and stand-off, the tightest place.
 */
import {
  BufferGeometry,
  CatmullRomCurve3,
  type Color,
  ConeGeometry,
  CylinderGeometry,
  DoubleSide,
  Float32BufferAttribute,
  Group,
  LineBasicMaterial,
  LineDashedMaterial,
  LineLoop,
  LineSegments,
  type Material,
  Mesh,
  MeshBasicMaterial,
  type Object3D,
  Quaternion,
  SphereGeometry,
  TorusGeometry,
  TubeGeometry,
  Vector3,
} from "three";
import { Line2 } from "three/addons/lines/Line2.js";
import { LineGeometry } from "three/addons/lines/LineGeometry.js";
import { LineMaterial } from "three/addons/lines/LineMaterial.js";
import type { RouteCurve } from "../../../src/path/index.ts";
import type { Target } from "../../../src/space/index.ts";
import type { JobPicture } from "../../worker/index.ts";
import { colour, type Inks } from "./theme.ts";

export interface Guides {
  readonly group: Group;
  /** where labels belong, m, less the origin */
  readonly places: { readonly port: Vector3; readonly target: Vector3 };
  dispose(): void;
}

const zAxis = new Vector3(0, 0, 1);

export function createGuides(picture: JobPicture, curve: RouteCurve | undefined, inks: Inks): Guides {
  const group = new Group();
  const local = (p: readonly number[]) => new Vector3(...(p as [number, number, number])).sub(new Vector3(...picture.origin));
  const { port, target, arm } = picture;
  const centre = local(port.centre);
  const axis = new Vector3(...port.axis);

  // the guide behind the port, or behind the tube, seen through
  const { tube } = picture;
  const entry = tube === undefined ? centre : local(tube.points.subarray(0, 3) as unknown as number[]);
  const inwards =
    tube === undefined
      ? axis
      : local(tube.points.subarray(3, 6) as unknown as number[])
          .sub(entry)
          .normalize();
  const guide = new Mesh(
    new CylinderGeometry(port.bore / 2, port.bore / 2, picture.guideLength, 40, 1, true).rotateX(Math.PI / 2),
    seeThrough(colour(inks.line), 0.16),
  );
  guide.position.copy(entry).addScaledVector(inwards, -picture.guideLength / 2);
  guide.quaternion.setFromUnitVectors(zAxis, inwards);
  group.add(guide);
  group.add(circle(centre, axis, port.bore / 2, colour(inks.plan)));
  group.add(
    dashed(
      tube === undefined
        ? [centre.clone().addScaledVector(axis, -picture.guideLength - 0.03), centre.clone().addScaledVector(axis, 0.12)]
        : [entry.clone().addScaledVector(inwards, -picture.guideLength - 0.03), entry],
      colour(inks.line),
      0.006,
    ),
  );

  if (tube !== undefined) group.add(tubeWall(tube, picture.origin, colour(inks.warn)));
  if (curve !== undefined) {
    const points: number[] = [];
    for (let i = 0; i < curve.count; i++)
      for (let k = 0; k < 3; k++) points.push((curve.point[3 * i + k] as number) - (picture.origin[k] as number));
    const line = new Line2(
      new LineGeometry().setPositions(points),
      new LineMaterial({ color: colour(inks.plan), linewidth: 1.6, depthTest: false, transparent: true }),
    );
    line.renderOrder = 3;
    group.add(line);
    group.add(plannedBody(points, curve, arm.sections[0]?.outerDiameter ?? 0.01, colour(inks.plan)));
  }

  for (const one of picture.targets.flat()) group.add(...targetParts(one, local(one.place), inks));
  return {
    group,
    places: { port: centre, target: local(target.place) },
    dispose: () => disposeAll(group),
  };
}

/** A target: its place, the cone of aims, and the two stand-offs as pieces of spheres within the cone. */
function targetParts(target: Target, place: Vector3, inks: Inks): Object3D[] {
  const parts: Object3D[] = [];
  const back = new Vector3(...target.direction).negate();
  const [near, far] = target.standOff;
  const dot = new Mesh(
    new SphereGeometry(Math.min(0.004, 0.25 * Math.max(near, 0.006)), 20, 12),
    new MeshBasicMaterial({ color: colour(inks.aim) }),
  );
  dot.position.copy(place);
  parts.push(dot);
  const half = Math.min(target.cone, 1.4);
  if (far > 0) {
    if (half > 0.01) {
      const height = far * Math.cos(half);
      const cone = new Mesh(
        new ConeGeometry(far * Math.sin(half), height, 48, 1, true).rotateX(-Math.PI / 2),
        seeThrough(colour(inks.aim), 0.13),
      );
      cone.quaternion.setFromUnitVectors(zAxis, back);
      cone.position.copy(place).addScaledVector(back, height / 2);
      parts.push(cone);
    }
    for (const reach of near > 0 && near !== far ? [near, far] : [far]) {
      const ring = circle(
        place.clone().addScaledVector(back, reach * Math.cos(half)),
        back,
        Math.max(reach * Math.sin(half), 0.002),
        colour(inks.aim),
      );
      parts.push(ring);
    }
    parts.push(dashed([place, place.clone().addScaledVector(back, far * 1.3)], colour(inks.aim), 0.004));
  }
  return parts;
}

/** A ring that marks a place on the arm; its size follows the distance so that it stays visible. */
export function createMark(ink: string): Mesh<TorusGeometry, MeshBasicMaterial> {
  const mark = new Mesh(
    new TorusGeometry(1, 0.07, 10, 48),
    new MeshBasicMaterial({ color: colour(ink), depthTest: false, transparent: true }),
  );
  mark.renderOrder = 4;
  mark.visible = false;
  return mark;
}

export function disposeAll(root: Object3D): void {
  root.traverse((one) => {
    const mesh = one as Mesh;
    mesh.geometry?.dispose();
    for (const material of [mesh.material].flat()) (material as Material | undefined)?.dispose();
  });
}

/** The bore of the guide tube, seen through. */
function tubeWall({ points, bore }: NonNullable<JobPicture["tube"]>, origin: readonly number[], ink: Color): Mesh {
  const places = Array.from(
    { length: points.length / 3 },
    (_, k) => new Vector3(...[0, 1, 2].map((r) => (points[3 * k + r] as number) - (origin[r] as number))),
  );
  const wall = new TubeGeometry(new CatmullRomCurve3(places), 2 * places.length, bore / 2, 32);
  return new Mesh(wall, seeThrough(ink, 0.3));
}

/** Circles of the body's own diameter along the route, every 25 mm. */
function plannedBody(points: readonly number[], curve: RouteCurve, diameter: number, ink: Color): LineSegments {
  const ring = 36;
  const places: number[] = [];
  let next = 0;
  for (let i = 0; i < curve.count; i++) {
    if ((curve.arc[i] as number) < next) continue;
    next += 0.025;
    const at = new Vector3().fromArray(points, 3 * i);
    const turn = new Quaternion().setFromUnitVectors(
      zAxis,
      new Vector3().fromArray(curve.tangent as unknown as number[], 3 * i).normalize(),
    );
    const rim = Array.from({ length: ring }, (_, k) => {
      const a = (2 * Math.PI * k) / ring;
      return new Vector3(Math.cos(a), Math.sin(a), 0)
        .multiplyScalar(diameter / 2)
        .applyQuaternion(turn)
        .add(at);
    });
    for (const [k, p] of rim.entries()) places.push(...p.toArray(), ...(rim[(k + 1) % ring] as Vector3).toArray());
  }
  const geometry = new BufferGeometry().setAttribute("position", new Float32BufferAttribute(places, 3));
  return new LineSegments(geometry, new LineBasicMaterial({ color: ink, transparent: true, opacity: 0.55 }));
}

function circle(at: Vector3, axis: Vector3, radius: number, ink: Color): LineLoop {
  const points = Array.from(
    { length: 64 },
    (_, k) => new Vector3(Math.cos((Math.PI * k) / 32) * radius, Math.sin((Math.PI * k) / 32) * radius, 0),
  );
  const loop = new LineLoop(new BufferGeometry().setFromPoints(points), new LineBasicMaterial({ color: ink }));
  loop.quaternion.setFromUnitVectors(zAxis, axis);
  loop.position.copy(at);
  return loop;
}

function dashed(points: readonly Vector3[], ink: Color, dash: number): LineSegments {
  const line = new LineSegments(
    new BufferGeometry().setFromPoints([...points]),
    new LineDashedMaterial({ color: ink, dashSize: dash, gapSize: dash * 0.7 }),
  );
  line.computeLineDistances();
  return line;
}

function seeThrough(ink: Color, opacity: number): MeshBasicMaterial {
  return new MeshBasicMaterial({ color: ink, transparent: true, opacity, side: DoubleSide, depthWrite: false });
}
