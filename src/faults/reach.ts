/** How deep something may fail so that the arm still comes out. */
import type { FaultFinding, Outcome, WayFound } from "./model.ts";

/** Whether a way leads out, or surely does not. */
export function isAnswered(way: WayFound): boolean {
  return way.outcome !== "unknown";
}

/** Greatest depth down to which every depth looked at leads out, m (Infinity: all of them), and the first way that does not. */
export function reachOf(finding: FaultFinding, by: "holding" | "helping"): { readonly depth: number; readonly way: WayFound | undefined } {
  const depths = [...new Set([...finding.holding, ...finding.helping].map((way) => way.depth))].sort((a, b) => a - b);
  let depth = 0;
  for (const at of depths) {
    const found = stateAt(finding, at);
    const out = by === "holding" ? found.holding?.outcome === "out" : found.state === "ok" || found.state === "helped";
    if (!out) return { depth, way: by === "helping" ? (found.helping ?? found.holding) : found.holding };
    depth = at;
  }
  return { depth: Number.POSITIVE_INFINITY, way: undefined };
}

/** `ok`: it comes out whatever the healthy drives do; `helped`: only when they help. */
export type DepthState = "ok" | "helped" | "stuck" | "unknown";

/** How a fault stands at a depth: as the ways looked at nearest to it, the worse of two that differ. */
export function stateAt(
  { holding, helping }: FaultFinding,
  depth: number,
): { readonly state: DepthState; readonly holding: WayFound | undefined; readonly helping: WayFound | undefined } {
  const held = wayAt(holding, depth);
  const helped = helping.length === 0 ? undefined : wayAt(helping, depth);
  const outcomes: (Outcome | undefined)[] = [held?.outcome, helped?.outcome];
  const state: DepthState =
    held?.outcome === "out"
      ? "ok"
      : helped?.outcome === "out"
        ? "helped"
        : outcomes.includes("unknown") || (held === undefined && helped === undefined)
          ? "unknown"
          : "stuck";
  return { state, holding: held, helping: helped };
}

const badness: Readonly<Record<Outcome, number>> = { out: 0, unknown: 1, stuck: 2 };

/** @param ways rising */
function wayAt(ways: readonly WayFound[], depth: number): WayFound | undefined {
  const above = ways.find((way) => way.depth >= depth - 1e-9);
  const below = [...ways].reverse().find((way) => way.depth <= depth + 1e-9);
  if (above === undefined || below === undefined) return above ?? below;
  return badness[below.outcome] > badness[above.outcome] ? below : above;
}
