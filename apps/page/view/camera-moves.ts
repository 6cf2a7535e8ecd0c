/** Where the viewer stands: the first view, going to a place, and moving by keys. */
import { type PerspectiveCamera, Spherical, Vector3 } from "three";
import type { OrbitControls } from "three/addons/controls/OrbitControls.js";

/** Stands so that all points are in the picture, looking along `look` (unit, from the viewer into the scene). */
export function fitView(camera: PerspectiveCamera, controls: OrbitControls, points: readonly Vector3[], look: Vector3): void {
  const right = look.clone().cross(camera.up).normalize();
  const up = right.clone().cross(look).normalize();
  const range = (axis: Vector3) => {
    const along = points.map((p) => p.dot(axis));
    return [Math.min(...along), Math.max(...along)] as const;
  };
  const middle = (axis: Vector3) => axis.clone().multiplyScalar((range(axis)[0] + range(axis)[1]) / 2);
  const centre = middle(right).add(middle(up)).add(middle(look));
  const tall = Math.tan((camera.fov * Math.PI) / 360);
  let distance = 0.05;
  for (const point of points) {
    const p = point.clone().sub(centre);
    const away = Math.max(Math.abs(p.dot(right)) / (0.82 * tall * camera.aspect), Math.abs(p.dot(up)) / (0.78 * tall));
    distance = Math.max(distance, away - p.dot(look));
  }
  controls.target.copy(centre);
  camera.position.copy(centre).addScaledVector(look, -distance);
  controls.update();
}

/** Slides over to a place without turning; at once when the person wants no motion. @returns ends the slide */
export function slideTo(
  camera: PerspectiveCamera,
  controls: OrbitControls,
  place: Vector3,
  distance: number,
  moved: () => void,
): () => void {
  const from = controls.target.clone();
  const offset = camera.position.clone().sub(from);
  const end = offset.clone().setLength(Math.min(offset.length(), distance));
  const still = matchMedia("(prefers-reduced-motion: reduce)").matches;
  const began = performance.now();
  let frame = 0;
  const step = () => {
    const t = still ? 1 : Math.min(1, (performance.now() - began) / 350);
    const ease = t * t * (3 - 2 * t);
    controls.target.lerpVectors(from, place, ease);
    camera.position.copy(controls.target).add(offset.clone().lerp(end, ease));
    controls.update();
    moved();
    if (t < 1) frame = requestAnimationFrame(step);
  };
  step();
  return () => cancelAnimationFrame(frame);
}

/** Arrows turn, with shift they shift, plus and minus come nearer and back off. @returns whether the key meant something */
export function moveByKey(camera: PerspectiveCamera, controls: OrbitControls, key: string, shift: boolean): boolean {
  const offset = camera.position.clone().sub(controls.target);
  const arrows: Record<string, readonly [number, number]> = { ArrowLeft: [-1, 0], ArrowRight: [1, 0], ArrowUp: [0, 1], ArrowDown: [0, -1] };
  const arrow = arrows[key];
  if (arrow !== undefined && shift) {
    const step = 0.04 * offset.length();
    const right = offset.clone().cross(camera.up).normalize().negate();
    const up = right.clone().cross(offset).normalize().negate();
    const by = right.multiplyScalar(-arrow[0] * step).addScaledVector(up, -arrow[1] * step);
    controls.target.add(by);
    camera.position.add(by);
  } else if (arrow !== undefined) {
    const turned = new Spherical();
    const lift = upTurn(camera.up);
    turned.setFromVector3(lift(offset, false));
    turned.theta += 0.08 * arrow[0];
    turned.phi -= 0.08 * arrow[1];
    turned.makeSafe();
    camera.position.copy(controls.target).add(lift(new Vector3().setFromSpherical(turned), true));
  } else if (key === "+" || key === "=" || key === "-") {
    camera.position.copy(controls.target).addScaledVector(offset, key === "-" ? 1.1 : 1 / 1.1);
  } else {
    return false;
  }
  controls.update();
  return true;
}

/** Turns the scene's upward direction to y, where spherical coordinates have their pole, and back. */
function upTurn(up: Vector3): (v: Vector3, back: boolean) => Vector3 {
  const x = new Vector3(Math.abs(up.x) < 0.7 ? 1 : 0, Math.abs(up.x) < 0.7 ? 0 : 1, 0);
  x.addScaledVector(up, -x.dot(up)).normalize();
  const z = x.clone().cross(up);
  return (v, back) =>
    back ? x.clone().multiplyScalar(v.x).addScaledVector(up, v.y).addScaledVector(z, v.z) : new Vector3(v.dot(x), v.dot(up), v.dot(z));
}
