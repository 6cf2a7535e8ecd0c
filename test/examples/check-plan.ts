/** What every planned example must stand up to. */
import { expect } from "vitest";
import { createInsertionWork, solveAt } from "../../src/insertion/index.ts";
import { pointOf } from "../../src/math/index.ts";
import { insertionModel, type PlanModel, type PlanResult } from "../../src/plan/index.ts";
import { copyRodState, createRodState } from "../../src/rod/index.ts";
import { createSpaceAnswer, createSpaceWork, sampleSpace } from "../../src/space/index.ts";

export function expectSound(result: PlanResult): void {
  expect(result.route.status).toBe("found");
  expect(result.wayOut.length).toBe(result.wayIn.length);
  for (const record of [...result.wayIn, ...result.wayOut]) {
    expect(["stable", "slack"]).toContain(record.status);
    // joints carry up to about 1 N m
    expect(record.residual).toBeLessThan(1e-8);
  }
  const uses = result.verdict.rows.map((row) => row.use);
  expect(uses).toEqual([...uses].sort((a, b) => b - a));
  // nothing is `go` while something is not computed
  if (result.verdict.notChecked.length > 0) expect(result.verdict.answer).not.toBe("go");
}

/** Solves between neighbouring depths and looks at dense points: by how much any of them falls below the stated clearance, m. @param every so many depths @param look at each shape that is solved: frames and the first free vertebra */
export function refine(
  model: PlanModel,
  result: PlanResult,
  pieces: number,
  every = 1,
  look: (frames: Float64Array, firstFree: number) => void = () => undefined,
): { lack: number; checked: number } {
  const inner = insertionModel(model, result.route);
  const { arm } = model;
  const work = createInsertionWork(inner, model.space);
  const spaceWork = createSpaceWork(model.space);
  const around = 24;
  const points = new Float64Array(3 * around * 3 * (arm.spans + 1));
  const answer = createSpaceAnswer(points.length / 3);
  let lack = Number.NEGATIVE_INFINITY;
  let checked = 0;
  const rod = createRodState(arm);
  for (let j = 1; j < result.wayIn.length; j += every) {
    const a = result.wayIn[j - 1]!;
    const b = result.wayIn[j]!;
    for (let k = 1; k < pieces; k++) {
      const share = k / pieces;
      const bend = a.bend.map((v, c) => v + share * (b.bend[c]! - v));
      const state = copyRodState(rod);
      const report = solveAt(inner, a.depth + share * (b.depth - a.depth), a.roll + share * (b.roll - a.roll), bend, state, work);
      expect(report.status).toBe("stable");
      rod.strain.set(state.strain);
      rod.effort.set(state.effort);
      checked++;
      let n = 0;
      for (let i = Math.max(work.rod.firstFree, 1); i <= arm.spans; i++) {
        const radius = arm.description.sections[arm.sectionOfSpan[i - 1]!]!.outerDiameter / 2;
        for (const z of [-arm.tail[i - 1]!, 0, arm.tail[i - 1]!]) {
          for (let c = 0; c < around; c++)
            pointOf(
              work.rod.frame,
              i,
              radius * Math.cos((2 * Math.PI * c) / around),
              radius * Math.sin((2 * Math.PI * c) / around),
              z,
              points,
              3 * n++,
            );
        }
      }
      look(work.rod.frame, work.rod.firstFree);
      sampleSpace(model.space, points, n, 0.05, answer, spaceWork);
      for (let q = 0; q < n; q++) lack = Math.max(lack, b.sweptSpare - answer.distance[q]!);
    }
  }
  return { lack, checked };
}
