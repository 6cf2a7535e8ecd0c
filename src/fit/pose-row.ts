/** Where the arm stands in a row, and what hangs on it. */
import type { ArmModel } from "../arm/index.ts";
import { createFrameAlong, rollFrame } from "../math/index.ts";
import type { Load, Stance } from "../rod/index.ts";
import type { MeasuredRow, Rig } from "./model.ts";

const standardGravity = 9.80665;

/** @param base [12] written */
export function stanceOf(rig: Rig, row: MeasuredRow, base: Float64Array): Stance {
  const straight = createFrameAlong(
    rig.axis.map((x) => -row.exit * x),
    rig.axis,
  );
  rollFrame(straight, row.roll, 0, base);
  return { base, exit: row.exit };
}

/**
 * The load on its thread, `side` to the left of the tool's axis seen from the guide; an arm that points along gravity: along its own x.
 *
 * @param base [12] of the row
 */
export function hang(arm: ArmModel, rig: Rig, row: MeasuredRow, base: Float64Array): Load["forces"] {
  if (row.load === 0) return [];
  const [gx, gy, gz] = rig.gravity;
  const size = Math.sqrt(gx * gx + gy * gy + gz * gz) || 1;
  const [ax, ay, az] = rig.axis;
  // left = up x axis
  const left = [(-gy * az + gz * ay) / size, (-gz * ax + gx * az) / size, (-gx * ay + gy * ax) / size];
  const norm = Math.sqrt(left.reduce((sum, v) => sum + v * v, 0));
  const along = (k: number): number => left.reduce((sum, v, r) => sum + v * (base[3 * r + k] as number), 0) / norm;
  const [x, y] = norm > 1e-9 ? [along(0), along(1)] : [1, 0];
  const force = [gx, gy, gz].map((g) => (row.load * standardGravity * g) / size) as [number, number, number];
  return [{ vertebra: arm.spans, force, at: [row.side * (x as number), row.side * (y as number), arm.description.tool.length] }];
}
