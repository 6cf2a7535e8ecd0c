/** What is wrong with the dimensions of a row of vanes. */
import { formatQuantity } from "../base/index.ts";
import type { Add } from "./check-bodies.ts";
import type { VanesShape } from "./description.ts";
import { layVanes, nearestOnVanes, vaneFrames } from "./vanes.ts";

export function checkVanes(shape: VanesShape, add: Add): void {
  let sound = true;
  const wrong: Add = (...fault) => {
    sound = false;
    add(...fault);
  };
  const above = (field: string, value: number): void => {
    if (!(value > 0 && value < Infinity)) wrong(field, `is ${say(value)}.`, "Give a length above 0.");
  };
  const { count, chord, thickness, stagger, camber, row, pitch, radius } = shape;
  if (!(Number.isInteger(count) && count >= 1 && count <= 1000)) wrong("count", `is ${count}.`, "Give a whole number from 1 to 1000.");
  above("chord", chord);
  above("thickness", thickness);
  above("span", shape.span);
  if (thickness >= chord) wrong("thickness", `is ${say(thickness)}, and the chord is ${say(chord)}.`, "Give a thinner vane.");
  if (!Number.isFinite(stagger)) wrong("stagger", `is ${stagger}.`, "Give a finite angle.");
  if (!(camber >= 0 && camber < 0.95 * Math.PI))
    wrong("camber", `is ${formatQuantity(camber, "angle", "metric")}.`, "Give an angle of 0 or more and below 170 deg.");
  else if (camber > 0 && (chord - thickness) / (2 * Math.sin(camber / 2)) < thickness)
    wrong("camber", `bends a vane ${say(thickness)} thick round a radius shorter than that.`, "Give less camber or a thinner vane.");
  if (count > 1) above("pitch", pitch);
  if (row !== "straight") above("radius", radius);
  if (sound && row !== "straight" && count * pitch > 2 * Math.PI * radius * (1 + 1e-9))
    wrong(
      "pitch",
      `is ${say(pitch)}: ${count} vanes do not go round a circle of radius ${say(radius)}.`,
      "Give a smaller pitch or fewer vanes.",
    );
  if (sound && count > 1) checkGap(shape, wrong);
}

/** Neighbours must not run into each other: looked at on their centre surfaces, half a thickness of either apart. */
function checkGap(shape: VanesShape, add: Add): void {
  const size = layVanes(shape);
  const one = Float64Array.of(1, ...size.subarray(1, vaneFrames + 12));
  const [half, h, span, bow, beta, rise] = [size[1]!, size[2]!, size[3]!, size[4]!, size[5]!, size[6]!];
  const hit = new Float64Array(4);
  const p = new Float64Array(3);
  // first to second, and last to first where the ring closes
  for (const o of [vaneFrames + 12, size.length - 12]) {
    for (let j = 0; j <= 64; j++) {
      const t = j / 32 - 1;
      const [u, v] = bow > 0 ? [bow * Math.sin(t * beta), bow * Math.cos(t * beta) - bow + rise] : [t * half, 0];
      for (const w of [0, 0.5 * span, span]) {
        for (let i = 0; i < 3; i++) p[i] = size[o + 3 * i]! * u + size[o + 3 * i + 1]! * v + size[o + 3 * i + 2]! * w + size[o + 9 + i]!;
        nearestOnVanes(one, p, hit);
        if (Math.sqrt(hit[3]!) >= h && !within(one, p)) continue;
        add("pitch", "lets neighbouring vanes run into each other.", "Give a greater pitch, or shorter, thinner or more staggered vanes.");
        return;
      }
    }
  }
}

/** Whether a point is in the solid of the first vane. */
function within(size: Float64Array, p: Float64Array): boolean {
  const o = vaneFrames;
  const d = [0, 1, 2].map((i) => p[i]! - size[o + 9 + i]!);
  const along = (i: number): number => size[o + i]! * d[0]! + size[o + 3 + i]! * d[1]! + size[o + 6 + i]! * d[2]!;
  const [u, v, w] = [along(0), along(1), along(2)];
  if (w < 0 || w > size[3]!) return false;
  const [half, h, bow, beta, rise] = [size[1]!, size[2]!, size[4]!, size[5]!, size[6]!];
  let [fu, fv] = [Math.max(-half, Math.min(half, u)), 0];
  if (bow > 0) {
    const angle = Math.max(-beta, Math.min(beta, Math.atan2(u, v + bow - rise)));
    [fu, fv] = [bow * Math.sin(angle), bow * Math.cos(angle) - bow + rise];
  }
  return (u - fu) ** 2 + (v - fv) ** 2 < h * h;
}

function say(value: number): string {
  return formatQuantity(value, "length", "metric");
}
