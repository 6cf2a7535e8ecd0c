/** How every vertebra moves when one command of one cable changes: its tension, or the length its drive has let out. */
import type { ArmModel } from "../arm/index.ts";
import { factorLu, solveLu } from "../math/index.ts";
import type { RodState } from "./model.ts";
import { forceColumn, rateAlong } from "./stability.ts";
import { addScaled, solveTangent } from "./tangent.ts";
import type { RodWork } from "./work.ts";

/**
 * @param command `tension`: one newton more on the cable, the other tensions kept; `length`: one metre more let out, the other drives locked
 *   (a slack cable moves nothing)
 * @param out [cable, vertebra, 6] written: motion (rotation rad; translation m) a unit command, each vertebra's own axes
 * @param work as a solve that converged left it
 */
export function cableResponse(arm: ArmModel, state: RodState, command: "tension" | "length", work: RodWork, out: Float64Array): void {
  const block = 6 * (arm.spans + 1);
  out.fill(0, 0, block * arm.cables);
  const active: number[] = [];
  for (let c = 0; c < arm.cables; c++) if (command === "tension" || (state.tension[c] as number) > 0) active.push(c);
  active.forEach((cable, k) => forceColumn(arm, cable, k, work));
  solveTangent(arm, active.length, work);
  if (command === "tension") {
    active.forEach((cable, k) => addScaled(out, block * cable, work.motion, block * k, block, -1));
    return;
  }
  // tensions follow: (1/K + S' H^-1 S) dT = -dL
  const { dense, denseRight, columns } = work;
  active.forEach((cable, r) => {
    active.forEach((_, c) => {
      dense[columns * r + c] = rateAlong(arm, cable, c, work) + (r === c ? (work.give[cable] as number) : 0);
    });
  });
  if (active.length === 0 || !factorLu(dense, active.length, columns, work.pivots)) return;
  active.forEach((cable, k) => {
    denseRight.fill(0, 0, active.length);
    denseRight[k] = -1;
    solveLu(dense, active.length, columns, work.pivots, denseRight);
    active.forEach((_, c) => addScaled(out, block * cable, work.motion, block * c, block, -(denseRight[c] as number)));
  });
}
