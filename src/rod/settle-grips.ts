/** Shape and grips that belong together: what slides on the way to a shape, while the shape follows what slides. */
import { type ArmModel, cablesRub } from "../arm/index.ts";
import { factorCholesky, solveCholesky } from "../math/index.ts";
import type { RodState, SolveStatus } from "./model.ts";
import { slideCables } from "./slide-cables.ts";
import type { RodWork } from "./work.ts";

export interface GripReport {
  /** of the last solve */
  readonly status: SolveStatus;
  /** whether shape and grips belong together; when not, the shape is one of the grips tried last */
  readonly settled: boolean;
  readonly tries: number;
}

/** tries that a next one is made from */
const depth = 6;
/** share of the way to what a try asks for: a hole that grips more holds the cable back, and asks for less */
const caution = 0.3;

/**
 * Shape and grips that belong together: from where the grips were moved on last, each hole has slid by what the shape with its new grip says. A
 * grip answers its own sliding with the stretch of all that lies beyond it, many times as much as turns it over, so that moving on
 * solve by solve would swing to and fro; the tries are mixed by what they left (Anderson's method).
 *
 * @param state grips as they were moved on last; those that belong to the shape are left in it
 * @param solve the shape with the grips of `state`
 * @param atRest a grip that moves by less no longer moves what is read off, 1
 */
export function settleGrips(
  arm: ArmModel,
  state: RodState,
  work: RodWork,
  solve: () => SolveStatus,
  { atRest = 1e-3, mostTries = 60 }: { readonly atRest?: number; readonly mostTries?: number } = {},
): GripReport {
  const rubs = cablesRub(arm);
  if (!rubs) return { status: solve(), settled: true, tries: 1 };
  const from = { grip: state.grip.slice(), run: state.run.slice() };
  const asked = { ...state, grip: new Float64Array(state.grip.length), run: new Float64Array(state.run.length) };
  const tries: { grip: Float64Array; miss: Float64Array }[] = [];
  for (let k = 1; ; k++) {
    const status = solve();
    if (status !== "stable" && status !== "slack") return { status, settled: false, tries: k };
    asked.grip.set(from.grip);
    asked.run.set(from.run);
    slideCables(arm, asked, work);
    const miss = asked.grip.map((g, i) => g - (state.grip[i] as number));
    const most = miss.reduce((largest, m) => Math.max(largest, Math.abs(m)), 0);
    if (most < atRest || k === mostTries) {
      state.run.set(asked.run);
      return { status, settled: most < atRest, tries: k };
    }
    tries.push({ grip: state.grip.slice(), miss });
    if (tries.length > depth) tries.shift();
    state.grip.set(mix(tries));
  }
}

/** The combination of the tries, shares summing to 1, that would miss least, and some of the way it still misses. */
function mix(tries: readonly { readonly grip: Float64Array; readonly miss: Float64Array }[]): Float64Array {
  const last = tries[tries.length - 1] as (typeof tries)[number];
  const n = tries.length - 1;
  const normal = new Float64Array(n * n);
  const right = new Float64Array(n);
  const apart = tries.slice(0, n).map((one) => one.miss.map((m, i) => (last.miss[i] as number) - m));
  const dot = (a: Float64Array, b: Float64Array): number => a.reduce((sum, v, i) => sum + v * (b[i] as number), 0);
  for (let r = 0; r < n; r++) {
    right[r] = dot(apart[r] as Float64Array, last.miss);
    for (let c = 0; c < n; c++) normal[r * n + c] = dot(apart[r] as Float64Array, apart[c] as Float64Array);
    normal[r * n + r] = (normal[r * n + r] as number) * (1 + 1e-10) + 1e-300;
  }
  if (n > 0 && factorCholesky(normal, n, n)) solveCholesky(normal, n, n, right);
  else right.fill(0);
  return last.grip.map((g, i) => {
    let grip = g + caution * (last.miss[i] as number);
    for (let k = 0; k < n; k++) {
      const one = tries[k] as (typeof tries)[number];
      grip -= (right[k] as number) * (g - (one.grip[i] as number) + caution * ((apart[k] as Float64Array)[i] as number));
    }
    return Math.min(1, Math.max(-1, grip));
  });
}
