/** Other arms at their target beside the one that is shown: plain bodies, true to size, seen through until one is pointed at. */
import { CylinderGeometry, Group, InstancedMesh, Matrix4, MeshBasicMaterial, Quaternion, Vector3 } from "three";
import { colour, type Inks } from "./theme.ts";

export interface Shape {
  /** [vertebra, 12] frames, world; [vertebra] outer diameter, m; tool point, m, world */
  readonly frames: Float64Array;
  readonly diameter: Float64Array;
  readonly tool: Float64Array;
  readonly toolDiameter: number;
  /** those before are in the guide */
  readonly firstFree: number;
  readonly state: "ok" | "warning" | "over" | "unknown";
  /** pointed at */
  readonly lit: boolean;
}

/** The ink of a state is the answer's, as in the table. */
const inkOf = { ok: "ok", warning: "warn", over: "over", unknown: "unknown" } as const;

export function createShapes(shapes: readonly Shape[], origin: readonly number[], inks: Inks): Group {
  const group = new Group();
  const matrix = new Matrix4();
  const up = new Vector3(0, 1, 0);
  for (const shape of shapes) {
    const places = placesOf(shape, origin);
    const material = new MeshBasicMaterial({
      color: colour(inks[inkOf[shape.state]]),
      transparent: true,
      opacity: shape.lit ? 0.85 : 0.3,
      depthWrite: shape.lit,
    });
    const body = new InstancedMesh(new CylinderGeometry(1, 1, 1, 20), material, Math.max(0, places.length - 1));
    body.frustumCulled = false;
    body.renderOrder = shape.lit ? 3 : 2;
    for (let k = 0; k + 1 < places.length; k++) {
      const [from, to] = [places[k] as Vector3, places[k + 1] as Vector3];
      const along = to.clone().sub(from);
      const length = Math.max(along.length(), 1e-9);
      const radius = (k + 2 === places.length ? shape.toolDiameter : (shape.diameter[shape.firstFree + k] as number)) / 2;
      const turn = new Quaternion().setFromUnitVectors(up, along.divideScalar(length));
      matrix.compose(from.add(to).multiplyScalar(0.5), turn, new Vector3(radius, length, radius));
      body.setMatrixAt(k, matrix);
    }
    group.add(body);
  }
  return group;
}

/** Vertebrae past the guide, then the tool point. */
function placesOf({ frames, firstFree, tool }: Shape, origin: readonly number[]): Vector3[] {
  const at = (from: Float64Array, o: number): Vector3 =>
    new Vector3(
      (from[o] as number) - (origin[0] as number),
      (from[o + 1] as number) - (origin[1] as number),
      (from[o + 2] as number) - (origin[2] as number),
    );
  const places: Vector3[] = [];
  for (let v = firstFree; v < frames.length / 12; v++) places.push(at(frames, 12 * v + 9));
  return [...places, at(tool, 0)];
}
