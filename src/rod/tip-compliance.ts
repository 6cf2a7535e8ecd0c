/** How the tip gives under a wrench: drives locked, or tensions kept. */
import type { ArmModel } from "../arm/index.ts";
import { factorLu, solveLu } from "../math/index.ts";
import type { RodState } from "./model.ts";
import { forceColumn, rateAlong } from "./stability.ts";
import { clearColumn, solveTangent } from "./tangent.ts";
import type { RodWork } from "./work.ts";

/**
 * @param drives `locked`: cables stretch; `tensions`: cables keep their tensions
 * @param out [6, 6] written: motion of the tip vertebra (rotation rad; translation m) a unit wrench (moment N m; force N), tip frame
 * @param work as a solve that converged left it
 */
export function tipCompliance(arm: ArmModel, state: RodState, drives: "locked" | "tensions", work: RodWork, out: Float64Array): void {
  const n = arm.spans;
  const active: number[] = [];
  if (drives === "locked") for (let c = 0; c < arm.cables; c++) if ((state.tension[c] as number) > 0) active.push(c);
  for (let k = 0; k < 6; k++) {
    clearColumn(arm, k, work);
    work.columnTip[6 * k + k] = 1;
  }
  const { dense, denseRight, columns } = work;
  active.forEach((cable, k) => forceColumn(arm, cable, 6 + k, work));
  solveTangent(arm, 6 + active.length, work);
  const tip = (c: number, r: number): number => work.motion[6 * ((n + 1) * c + n) + r] as number;
  active.forEach((cable, r) => {
    active.forEach((_, c) => {
      dense[columns * r + c] = rateAlong(arm, cable, 6 + c, work) + (r === c ? (work.give[cable] as number) : 0);
    });
  });
  const locked = active.length > 0 && factorLu(dense, active.length, columns, work.pivots);
  for (let k = 0; k < 6; k++) {
    active.forEach((cable, r) => {
      denseRight[r] = rateAlong(arm, cable, k, work);
    });
    if (locked) solveLu(dense, active.length, columns, work.pivots, denseRight);
    for (let r = 0; r < 6; r++) {
      let value = tip(k, r);
      if (locked) active.forEach((_, c) => (value -= tip(6 + c, r) * (denseRight[c] as number)));
      out[6 * r + k] = value;
    }
  }
}
