/**
 * How a step of the strains changes the shares of the entry tensions along rubbing cables. The sweep takes shares as constant; what they do to the
 * gradient of a held shape is put right step by step, without a new evaluation.
 *
 * With e the unit vector across a cable's line n in the plane of n and z, its angle with z grows by -e . dn. At a span's lower hole dn is
 * (v + omega x r) / length across n, with (omega; v) the upper vertebra's motion and r the upper hole; at the upper one omega x n is taken off.
 */
import type { ArmModel } from "../arm/index.ts";
import type { RodWork } from "./work.ts";

/** `work.shareRate` over the free spans; the arm is placed. */
export function rateShares(arm: ArmModel, work: RodWork): void {
  if (work.kernel !== undefined) {
    work.kernel.rateShares(work.firstFree);
    return;
  }
  const { cableLine, grip, reach, turn, shareRate } = work;
  const n = arm.cables;
  const mu = work.friction[0] as number;
  for (let i = work.firstFree; i < arm.spans; i++) {
    const t = 9 * i + 6;
    const rz = -(arm.tail[i] as number);
    for (let c = arm.firstCable[arm.sectionOfSpan[i] as number] as number; c < n; c++) {
      const at = i * n + c;
      const n0 = cableLine[4 * at] as number;
      const n1 = cableLine[4 * at + 1] as number;
      const n2 = cableLine[4 * at + 2] as number;
      const short = cableLine[4 * at + 3] as number;
      const rx = arm.cableX[c] as number;
      const ry = arm.cableY[c] as number;
      // the lower vertebra's z as the upper one sees it
      const z0 = turn[t] as number;
      const z1 = turn[t + 1] as number;
      const z2 = turn[t + 2] as number;
      const cosine = z0 * n0 + z1 * n1 + z2 * n2;
      const across = 1 - cosine * cosine;
      const lower = across > straight ? ((grip[at] as number) * mu) / Math.sqrt(across) : 0;
      const tilt = n0 * n0 + n1 * n1;
      const upper = tilt > straight ? ((grip[at + n] as number) * mu) / Math.sqrt(tilt) : 0;
      for (let j = 0; j < 4; j++) {
        const b = 24 * i + j;
        const w0 = reach[b] as number;
        const w1 = reach[b + 4] as number;
        const w2 = reach[b + 8] as number;
        const d0 = (reach[b + 12] as number) + w1 * rz - w2 * ry;
        const d1 = (reach[b + 16] as number) + w2 * rx - w0 * rz;
        const d2 = (reach[b + 20] as number) + w0 * ry - w1 * rx;
        const along = n0 * d0 + n1 * d1 + n2 * d2;
        shareRate[8 * at + j] = lower * short * (z0 * d0 + z1 * d1 + z2 * d2 - cosine * along);
        shareRate[8 * at + 4 + j] = upper * (short * (d2 - n2 * along) - w0 * n1 + w1 * n0);
      }
    }
  }
}

/** Square of the sine below which a cable's angle counts as least, where it has no rate. */
const straight = 1e-12;

/** Change of the shares by the strains of column c, into `work.shareChange`, and where they are least into `work.floorChange`. */
export function changeShares(arm: ArmModel, c: number, work: RodWork): void {
  if (work.kernel !== undefined) {
    work.kernel.changeShares(c, work.firstFree);
    return;
  }
  const { column, share, shareRate, shareChange, floorChange, firstFree } = work;
  const n = arm.cables;
  for (let cable = 0; cable < n; cable++) {
    const end = arm.firstSpan[(arm.sectionOfCable[cable] as number) + 1] as number;
    let value = 0;
    let least = 1;
    floorChange[cable] = 0;
    for (let i = firstFree; i < end; i++) {
      const at = i * n + cable;
      const x = 4 * (arm.spans * c + i);
      for (let j = 0; j < 4; j++) {
        value += (shareRate[8 * at + j] as number) * (column[x + j] as number);
        if (i > firstFree) value += (shareRate[8 * (at - n) + 4 + j] as number) * (column[x - 4 + j] as number);
      }
      shareChange[at] = value;
      if ((share[at] as number) < least) {
        least = share[at] as number;
        floorChange[cable] = value;
      }
    }
  }
}
