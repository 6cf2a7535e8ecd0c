/** Where the labels of the 3D view stand: beside their places, on none of the others. */
import type { PerspectiveCamera, Vector3 } from "three";

export interface Label {
  readonly id: string;
  readonly element: HTMLElement;
  /** m, world */
  readonly place: readonly number[];
}

/** Room kept free at the foot of the view for its key and scale, px. */
const foot = 40;

/** Moves the labels beside their places; those out of the picture are hidden, each takes the first side where it lies on no other. */
export function placeLabels(
  labels: readonly Label[],
  camera: PerspectiveCamera,
  canvas: HTMLCanvasElement,
  local: (p: readonly number[]) => Vector3,
): void {
  const taken: { x: number; y: number; w: number }[] = [];
  const [width, height] = [canvas.clientWidth, canvas.clientHeight];
  for (const { element, place } of labels) {
    const seen = local(place).project(camera);
    const shown = Math.abs(seen.x) < 1 && Math.abs(seen.y) < 1 && seen.z < 1;
    element.hidden = !shown;
    if (!shown) continue;
    const w = element.offsetWidth;
    const [px, py] = [(0.5 + 0.5 * seen.x) * width, (0.5 - 0.5 * seen.y) * height];
    const [right, left] = [px + 16, px - 16 - w];
    // beside it, else just under or over it as far right as there is room, so that what leads up to it is not covered
    const edge = Math.min(px - w / 2, width - 4 - w);
    const beside = (x: number) => [-10, 16, -36, 42, -62].map((dy) => ({ x, y: py + dy, w }));
    const sides = [...beside(right), { x: edge, y: py + 18, w }, { x: edge, y: py - 38, w }, ...beside(left)];
    const fits = (at: { x: number; y: number; w: number }) =>
      at.x >= 4 &&
      at.x + w <= width - 4 &&
      at.y >= 4 &&
      at.y <= height - foot - 20 &&
      taken.every((t) => at.x > t.x + t.w || t.x > at.x + w || Math.abs(t.y - at.y) > 22);
    const at = sides.find(fits) ?? (sides[0] as { x: number; y: number; w: number });
    taken.push(at);
    element.style.transform = `translate(${Math.round(at.x)}px, ${Math.round(at.y)}px)`;
  }
}
