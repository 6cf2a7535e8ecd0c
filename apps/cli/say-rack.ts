/** What became of a rack of arms, for a person and for a machine. */
import { formatQuantity, sayFault, type UnitSystem } from "../../src/base/index.ts";
import type { Job } from "../../src/job/index.ts";
import type { RackEntry, RackMargin } from "../../src/study/index.ts";
import { layTable } from "./lay-table.ts";
import { sayUse } from "./say-verdict.ts";

/** @param entries  as `sortRack` orders them */
export function sayRack(job: Job, entries: readonly RackEntry[], units: UnitSystem): string {
  const say = (value: number): string => (Number.isFinite(value) ? formatQuantity(value, "length", units, 3) : "none near");
  const parts = [`${sayCount(entries)}: ${job.name}`];
  const rows = entries.map((entry) => {
    if (entry.kind !== "planned") return [entry.file, entry.arm ?? "", "", others[entry.kind], "", "", "", ""];
    const { worst, reach, clearance } = entry;
    return [
      entry.file,
      entry.arm,
      `${entry.drives} in ${entry.sections}`,
      entry.answer,
      worst === undefined ? "" : sayUse(worst.use),
      worst?.title ?? "",
      reach === undefined ? "" : `${say(reach.found)} of ${say(reach.allowed)}`,
      clearance === undefined ? "" : sayClearance(clearance, say),
    ];
  });
  parts.push(layTable([["file", "arm", "drives", "answer", "used", "worst margin", "reach", "clearance"], ...rows], [4]));
  const why = entries.flatMap((entry) => sayWhy(entry));
  if (why.length > 0) parts.push(`Why not\n${why.join("\n")}`);
  parts.push("Each arm is planned in and out again; what may fail on the way, withy plan looks at for the arm that is chosen.");
  return `${parts.join("\n\n")}\n`;
}

const others = { faulty: "cannot be read or fitted", failed: "withy failed", waiting: "not planned yet" } as const;

function sayCount(entries: readonly RackEntry[]): string {
  const can = entries.filter((entry) => entry.kind === "planned" && entry.answer.startsWith("go")).length;
  return `${can} of ${entries.length} arm${entries.length === 1 ? "" : "s"} can`;
}

function sayWhy(entry: RackEntry): string[] {
  const lines = (reasons: readonly string[]): string[] => [`  ${entry.file}`, ...reasons.map((reason) => `    - ${reason}`)];
  if (entry.kind === "waiting") return [];
  if (entry.kind === "failed") return lines([entry.says.split("\n")[0] as string]);
  if (entry.kind === "faulty") return lines(entry.faults.map(sayFault));
  if (entry.answer.startsWith("go")) return [];
  const hint = entry.hint === undefined ? [] : [`What would help first: ${entry.hint}.`];
  return lines([...(entry.reasons.length > 0 ? entry.reasons : [entry.says]), ...hint]);
}

function sayClearance({ found, allowed }: RackMargin, say: (value: number) => string): string {
  return `${say(found)}, ${say(allowed)} asked`;
}

/** Without shapes and plans: those are in the files. Numbers that are not finite are null. */
export function rackData(job: Job, entries: readonly RackEntry[], written: readonly string[]): object {
  const arms = entries.map((entry) => {
    if (entry.kind !== "planned") return entry;
    const { shape: _, ...rest } = entry;
    return rest;
  });
  return { job: job.name, inputs: job.inputs.filter((_, k) => k !== 1), arms, written };
}
