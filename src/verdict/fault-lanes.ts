/** What may fail, kind by kind over the depth of feed, in words: for a picture of the whole way. */
import { type DepthState, type FaultFinding, type FaultKind, type FaultResult, reachOf, stateAt, type WayFound } from "../faults/index.ts";
import { type FaultNames, recipes, sayFault, sayWay } from "./fault-rows.ts";
import { mm } from "./places.ts";

export interface LaneStretch {
  /** m of feed */
  readonly from: number;
  readonly to: number;
  readonly state: DepthState;
  /** faults that stand so there at the most, and of how many */
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
export function layFaultLanes(facts: FaultNames, faults: FaultResult, depths: readonly number[]): FaultLane[] {
  return (Object.keys(titles) as FaultKind[]).flatMap((kind) => {
    const findings = faults.findings.filter((finding) => finding.kind === kind);
    return findings.length === 0 ? [] : [{ kind, title: titles[kind], stretches: stretchesOf(facts, findings, depths) }];
  });
}

function stretchesOf(facts: FaultNames, findings: readonly FaultFinding[], depths: readonly number[]): LaneStretch[] {
  const stretches: LaneStretch[] = [];
  let from = 0;
  depths.forEach((depth, k) => {
    const next = depths[k + 1];
    const to = next === undefined ? depth : (depth + next) / 2;
    const here = worstAt(facts, findings, depth);
    const last = stretches[stretches.length - 1];
    // one stretch a state: told by where most stand so
    if (last?.state === here.state) stretches[stretches.length - 1] = { ...(here.count > last.count ? here : last), from: last.from, to };
    else stretches.push({ from, to, ...here });
    from = to;
  });
  return stretches;
}

function worstAt(facts: FaultNames, findings: readonly FaultFinding[], depth: number): Omit<LaneStretch, "from" | "to"> {
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

function sayState(facts: Pick<FaultNames, "bodies">, state: DepthState, way: WayFound | undefined): string {
  if (way === undefined) return "not looked at";
  if (state === "helped") return `drawn out with the healthy drives ${recipes[way.by]}`;
  // from the depth that was looked at nearest to it
  return `${state === "stuck" ? "no way out found" : "not known"}: ${sayWay(facts, way)}`;
}

/** A fault that does not come out by itself from some depth on. */
export interface FaultLine {
  readonly kind: FaultKind;
  readonly state: Exclude<DepthState, "ok">;
  /** down to this depth it still does, m */
  readonly downTo: number;
  readonly says: string;
}

/** Which faults, from which depth on, and why: where help is needed kind by kind, where nothing was found fault by fault. */
export function listFaults(facts: FaultNames, faults: FaultResult): FaultLine[] {
  const kinds = Object.keys(titles) as FaultKind[];
  return kinds.flatMap((kind) => {
    const findings = faults.findings.filter((finding) => finding.kind === kind);
    const lines: FaultLine[] = [];
    const alone = findings.map((finding) => reachOf(finding, "holding")).filter(({ way }) => way !== undefined);
    if (alone.length > 0 && findings.some((finding) => finding.helping.length > 0)) {
      const downTo = Math.min(...alone.map(({ depth }) => depth));
      lines.push({ kind, state: "helped", downTo, says: `${titles[kind]}, deeper than ${mm(downTo)}: the healthy drives must help` });
    }
    const left = findings.map((finding) => ({ finding, ...reachOf(finding, "helping") })).sort((a, b) => a.depth - b.depth);
    for (const { finding, depth, way } of left) {
      if (way === undefined) continue;
      const state = way.outcome === "unknown" ? "unknown" : "stuck";
      lines.push({ kind, state, downTo: depth, says: `${sayFault(facts, finding)}, deeper than ${mm(depth)}: ${sayWay(facts, way)}` });
    }
    return lines;
  });
}
