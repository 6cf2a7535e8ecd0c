/** The loaded arm at true size: vertebrae, rods, cables and tool at one solved depth. Made once, moved for every depth. */
import {
  BufferAttribute,
  BufferGeometry,
  Color,
  CylinderGeometry,
  DynamicDrawUsage,
  Group,
  InstancedMesh,
  LineBasicMaterial,
  LineSegments,
  Matrix4,
  Vector3,
} from "three";
import type { DepthRecord } from "../../../src/insertion/index.ts";
import type { ArmPicture } from "../../worker/index.ts";
import { createSurfaceMaterial, type SurfaceUniforms } from "./surface-material.ts";
import { colour, type Inks } from "./theme.ts";

export interface ArmDrawing {
  readonly group: Group;
  /** places everything for a solved depth; frames are [vertebra, 12], world */
  place(record: DepthRecord, origin: readonly number[]): void;
  /** a section lit, or none */
  light(section: number | undefined): void;
  tint(inks: Inks): void;
  dispose(): void;
}

export function createArmDrawing(arm: ArmPicture, shared: SurfaceUniforms, firstInks: Inks): ArmDrawing {
  let inks = firstInks;
  let lit: number | undefined;
  const white = new Color(1, 1, 1);
  const look = { base: white, section: white, line: white, cut: false, solid: false, flat: false };
  const material = createSurfaceMaterial(shared, look);
  const disc = new CylinderGeometry(1, 1, 1, 40).rotateX(Math.PI / 2);
  const vertebrae = new InstancedMesh(disc, material, arm.spans + 1);
  const tool = new InstancedMesh(disc, material, 1);
  const rodCount = arm.rods.reduce((sum, rods) => sum + rods.length, 0);
  const rods = new InstancedMesh(new CylinderGeometry(1, 1, 1, 8).rotateX(Math.PI / 2), material, rodCount);
  const cableEnds = arm.cables.map((cable) => arm.sections[cable.section]?.endSpan ?? arm.spans);
  const pieces = cableEnds.reduce((sum, end) => sum + end, 0);
  const cablePoints = new Float32Array(pieces * 6);
  const cableGeometry = new BufferGeometry();
  cableGeometry.setAttribute("position", new BufferAttribute(cablePoints, 3).setUsage(DynamicDrawUsage));
  const cableMaterial = new LineBasicMaterial({ color: colour(inks.cable) });
  const cables = new LineSegments(cableGeometry, cableMaterial);
  const group = new Group();
  for (const one of [vertebrae, tool, rods, cables]) {
    one.frustumCulled = false;
    group.add(one);
  }

  const matrix = new Matrix4();
  const sectionOf = (vertebra: number) => arm.sections.findIndex((s) => vertebra <= s.endSpan);

  function paint(): void {
    for (let v = 0; v <= arm.spans; v++) {
      const section = sectionOf(v);
      vertebrae.setColorAt(v, colour(section === lit ? inks.armPicked : section % 2 === 0 ? inks.armA : inks.armB));
    }
    tool.setColorAt(0, colour(inks.armB));
    for (let r = 0; r < rodCount; r++) rods.setColorAt(r, colour(inks.rod));
    cableMaterial.color = colour(inks.cable);
    for (const one of [vertebrae, tool, rods]) if (one.instanceColor !== null) one.instanceColor.needsUpdate = true;
  }
  paint();

  return {
    group,
    place(record, origin) {
      const f = record.frames;
      for (let v = 0; v <= arm.spans; v++) {
        const below = arm.below[v] as number;
        const above = arm.above[v] as number;
        const radius = 0.5 * (arm.diameter[v] as number);
        setFrame(matrix, f, v, 0, 0, 0.5 * (above - below), radius, below + above, origin);
        vertebrae.setMatrixAt(v, matrix);
      }
      setFrame(matrix, f, arm.spans, 0, 0, 0.5 * arm.tool.length, 0.5 * arm.tool.diameter, arm.tool.length, origin);
      tool.setMatrixAt(0, matrix);

      const from = new Vector3();
      const to = new Vector3();
      let r = 0;
      for (let i = 0; i < arm.spans; i++) {
        for (const rod of arm.rods[i] ?? []) {
          pointOf(f, i, rod.x, rod.y, arm.above[i] as number, origin, from);
          pointOf(f, i + 1, rod.x, rod.y, -(arm.below[i + 1] as number), origin, to);
          setBar(matrix, from, to, 0.5 * rod.diameter);
          rods.setMatrixAt(r++, matrix);
        }
      }
      let o = 0;
      arm.cables.forEach((cable, c) => {
        for (let i = 0; i < (cableEnds[c] as number); i++) {
          pointOf(f, i, cable.x, cable.y, arm.above[i] as number, origin, from).toArray(cablePoints, o);
          pointOf(f, i + 1, cable.x, cable.y, -(arm.below[i + 1] as number), origin, to).toArray(cablePoints, o + 3);
          o += 6;
        }
      });
      (cableGeometry.getAttribute("position") as BufferAttribute).needsUpdate = true;
      for (const one of [vertebrae, tool, rods]) one.instanceMatrix.needsUpdate = true;
    },
    light(section) {
      if (section === lit) return;
      lit = section;
      paint();
    },
    tint(next) {
      inks = next;
      paint();
    },
    dispose() {
      for (const one of [vertebrae, tool, rods]) one.dispose();
      for (const geometry of [disc, rods.geometry, cableGeometry]) geometry.dispose();
      material.dispose();
      cableMaterial.dispose();
    },
  };
}

/** A disc of vertebra `v`, centred at (x, y, z) of its frame. */
function setFrame(
  out: Matrix4,
  f: Float64Array,
  v: number,
  x: number,
  y: number,
  z: number,
  radius: number,
  thickness: number,
  origin: readonly number[],
): void {
  const o = 12 * v;
  const at = new Vector3();
  pointOf(f, v, x, y, z, origin, at);
  out.set(
    (f[o] as number) * radius,
    (f[o + 1] as number) * radius,
    (f[o + 2] as number) * thickness,
    at.x,
    (f[o + 3] as number) * radius,
    (f[o + 4] as number) * radius,
    (f[o + 5] as number) * thickness,
    at.y,
    (f[o + 6] as number) * radius,
    (f[o + 7] as number) * radius,
    (f[o + 8] as number) * thickness,
    at.z,
    0,
    0,
    0,
    1,
  );
}

function setBar(out: Matrix4, from: Vector3, to: Vector3, radius: number): void {
  const along = to.clone().sub(from);
  const length = Math.max(along.length(), 1e-9);
  const z = along.divideScalar(length);
  const x = new Vector3(Math.abs(z.x) < 0.7 ? 1 : 0, Math.abs(z.x) < 0.7 ? 0 : 1, 0);
  x.addScaledVector(z, -x.dot(z)).normalize();
  const y = z.clone().cross(x);
  out.makeBasis(x.multiplyScalar(radius), y.multiplyScalar(radius), z.multiplyScalar(length));
  out.setPosition(from.add(to).multiplyScalar(0.5));
}

function pointOf(f: Float64Array, v: number, x: number, y: number, z: number, origin: readonly number[], out: Vector3): Vector3 {
  const o = 12 * v;
  const place = (r: number) =>
    (f[o + 9 + r] as number) +
    (f[o + 3 * r] as number) * x +
    (f[o + 3 * r + 1] as number) * y +
    (f[o + 3 * r + 2] as number) * z -
    (origin[r] as number);
  return out.set(place(0), place(1), place(2));
}
