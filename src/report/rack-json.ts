/** What became of a rack of arms as JSON, and back. docs/rack-json.md lists every field with its unit and shape. */
import { type Fault, refuse } from "../base/index.ts";
import type { RackEntry, RackMargin, RackShape } from "../study/index.ts";
import { type Coding, floats, group, length, list, number, oneOf, text, whole } from "./coding.ts";

export interface RackRecord {
  readonly version: 1;
  /** the project's own version */
  readonly withy: string;
  readonly job: string;
  /** content hash of every file of the job but its own arm */
  readonly inputs: readonly { readonly file: string; readonly hash: string }[];
  /** in the order of the table */
  readonly arms: readonly RackLine[];
}

export interface RackLine {
  /** hash of all that the entry follows from: the same again need not be planned again; empty where the arm's file could not be read */
  readonly from: string;
  readonly entry: RackEntry;
}

type Of<K extends RackEntry["kind"]> = Extract<RackEntry, { kind: K }>;

const margin = group<RackMargin>({ title: text, use: number, found: number, allowed: number, whereSays: text });

const shape = group<RackShape>({
  depth: length,
  frames: floats(length),
  diameter: floats(length),
  tool: floats(length),
  toolDiameter: length,
  firstFree: whole,
});

const fault = group<Fault>(
  {
    code: text as Coding<Fault["code"]>,
    path: text,
    problem: text,
    hint: text,
    received: text,
    file: text,
    line: whole,
    column: whole,
  },
  ["received", "file", "line", "column"],
);

const planned = group<Of<"planned">>(
  {
    kind: oneOf("planned"),
    file: text,
    arm: text,
    sections: whole,
    drives: whole,
    answer: oneOf("go", "go with conditions", "no go", "undecided"),
    says: text,
    reasons: list(text),
    hint: text,
    worst: margin,
    reach: margin,
    clearance: margin,
    shape,
  },
  ["hint", "worst", "reach", "clearance", "shape"],
);

const kinds: { readonly [K in RackEntry["kind"]]: Coding<Of<K>> } = {
  planned,
  faulty: group<Of<"faulty">>({ kind: oneOf("faulty"), file: text, arm: text, faults: list(fault) }, ["arm"]),
  failed: group<Of<"failed">>({ kind: oneOf("failed"), file: text, arm: text, says: text }),
  waiting: group<Of<"waiting">>({ kind: oneOf("waiting"), file: text, arm: text }),
};

/** Each kind of entry has keys of its own. */
const entry: Coding<RackEntry> = {
  write: (value) => (kinds[value.kind] as Coding<RackEntry>).write(value),
  read(from, path, faults) {
    const kind = oneOf(...(Object.keys(kinds) as RackEntry["kind"][])).read(
      (from as { kind?: unknown } | null)?.kind,
      `${path}.kind`,
      faults,
    );
    return (kinds[kind] as Coding<RackEntry>).read(from, path, faults);
  },
};

const record = group<RackRecord>({
  version: oneOf(1),
  withy: text,
  job: text,
  inputs: list(group<{ file: string; hash: string }>({ file: text, hash: text })),
  arms: list(group<RackLine>({ from: text, entry })),
});

/** The groups of the format by name, for whoever writes about it. */
export const rackGroups = { rack: record, margin, shape, fault, planned } as const;

/** Places keep 1e-10 m, other numbers 10 significant digits. Writing what was read gives the same text. */
export function rackJson(rack: RackRecord): string {
  return `${JSON.stringify(record.write(rack))}\n`;
}

/** @throws InputError `plan.text`, `plan.content` with every fault */
export function readRackJson(from: string): RackRecord {
  let raw: unknown;
  try {
    raw = JSON.parse(from);
  } catch (error) {
    const problem = `is no JSON: ${(error as Error).message}.`;
    refuse([{ code: "plan.text", path: "", problem, hint: "It may have been cut off: plan the rack anew, without going on." }]);
  }
  const faults: Fault[] = [];
  const rack = record.read(raw, "", faults);
  refuse(faults);
  return rack;
}
