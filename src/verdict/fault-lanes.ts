/** What may fail, kind by kind over the depth of feed, in words: for a picture of the whole way. */
import { type DepthState, type FaultFinding, type FaultKind, type FaultResult, stateAt, type WayFound } from "../faults/index.ts";
import type { Facts } from "./facts.ts";
import { recipes, sayFault, sayWay } from "./fault-rows.ts";

export interface LaneStretch {
  /** m of feed */
  readonly from: number;
  readonly to: number;
  readonly state: DepthState;
  /** faults that stand so there, and of how many */
  readonly count: number;
  readonly of: number;
  readonly says: string;
}

export interface FaultLane {
  readonly kind: FaultKind;
  readonly title: string;
  /** rising and without gaps, from the port to the target */
  readonly stretches: readonly LaneStretch[];
}

const titles: Readonly<Record<FaultKind, string>> = {
  broken: "Cable broken",
  stalled: "Drive stalled",
  locked: "Power lost, drives hold",
  released: "Power lost, drives let go",
};

const badness: Readonly<Record<DepthState, number>> = { ok: 0, helped: 1, unknown: 2, stuck: 3 };

/** @param depths of the records, rising, m */
export function layFaultLanes(facts: Pick<Facts, "arm" | "bodies">, faults: FaultResult, depths: readonly number[]): FaultLane[] {
  return (Object.keys(titles) as FaultKind[]).flatMap((kind) => {
    const findings = faults.findings.filter((finding) => finding.kind === kind);
    return findings.length === 0 ? [] : [{ kind, title: titles[kind], stretches: stretchesOf(facts, findings, depths) }];
  });
}

function stretchesOf(facts: Pick<Facts, "arm" | "bodies">, findings: readonly FaultFinding[], depths: readonly number[]): LaneStretch[] {
  const stretches: LaneStretch[] = [];
  let from = 0;
  depths.forEach((depth, k) => {
    const next = depths[k + 1];
    const to = next === undefined ? depth : (depth + next) / 2;
    const here = worstAt(facts, findings, depth);
    const last = stretches[stretches.length - 1];
    if (last !== undefined && last.state === here.state && last.count === here.count && last.says === here.says)
      stretches[stretches.length - 1] = { ...last, to };
    else stretches.push({ from, to, ...here });
    from = to;
  });
  return stretches;
}

function worstAt(facts: Pick<Facts, "arm" | "bodies">, findings: readonly FaultFinding[], depth: number): Omit<LaneStretch, "from" | "to"> {
  const all = findings.map((finding) => ({ finding, ...stateAt(finding, depth) }));
  const state = all.reduce<DepthState>((worst, one) => (badness[one.state] > badness[worst] ? one.state : worst), "ok");
  const such = all.filter((one) => one.state === state);
  const first = such[0] as (typeof all)[number];
  const more = such.length > 1 ? ` (and ${such.length - 1} more)` : "";
  const way = state === "ok" ? first.holding : (first.helping ?? first.holding);
  return {
    state,
    count: such.length,
    of: findings.length,
    says:
      state === "ok"
        ? "drawn out whatever the healthy drives do"
        : `${sayFault(facts, first.finding)}${more}: ${sayState(facts, state, way)}`,
  };
}

function sayState(facts: Pick<Facts, "bodies">, state: DepthState, way: WayFound | undefined): string {
  if (way === undefined) return "not looked at";
  if (state === "helped") return `drawn out with the healthy drives ${recipes[way.by]}`;
  // from the depth that was looked at nearest to it
  return `${state === "stuck" ? "no way out found" : "not known"}: ${sayWay(facts, way)}`;
}
