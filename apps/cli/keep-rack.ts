/**
 * A folder in which a rack's plans are kept as they come, so that a run that was ended goes on where it was: rack.json with what became of each arm,
 * plans/ with each plan whole, unfinished/ with what was reached of the others.
 */
import { existsSync, readdirSync, readFileSync, rmSync } from "node:fs";
import { join } from "node:path";
import { deserialize, serialize } from "node:v8";
import { contentHash, type Job } from "../../src/job/index.ts";
import { type PlanResult, version } from "../../src/plan/index.ts";
import { planJson, type RackLine, rackJson, readRackJson } from "../../src/report/index.ts";
import { type RackArm, type RackEntry, type RackState, sortRack } from "../../src/study/index.ts";
import type { Console } from "./console.ts";
import { writeWhole } from "./write-whole.ts";

/** What an arm's plan follows from: the job but for its own arm, the arm's files, the program. */
export function hashOf(job: Job, arm: RackArm): string {
  return contentHash(new TextEncoder().encode(JSON.stringify([version, jobInputs(job), arm.file, arm.loaded.inputs])));
}

/** Without the job's own arm, which stands second. */
export function jobInputs(job: Job): Job["inputs"] {
  return job.inputs.filter((_, k) => k !== 1);
}

export interface Kept {
  /** [arm] what became of it before, where nothing it follows from has changed */
  readonly entries: (RackEntry | undefined)[];
  /** [arm] what was reached */
  readonly states: (RackState | undefined)[];
}

/** @throws InputError when rack.json is not whole; the system's own errors pass through */
export function readKept(folder: string, job: Job, arms: readonly RackArm[]): Kept {
  const text = existsSync(join(folder, "rack.json")) ? readFileSync(join(folder, "rack.json"), "utf8") : undefined;
  const lines = text === undefined ? [] : readRackJson(text).arms;
  const hashes = arms.map((arm) => hashOf(job, arm));
  return {
    entries: hashes.map((hash) => lines.find(({ from, entry }) => from === hash && entry.kind === "planned")?.entry),
    states: hashes.map((hash) => readState(join(folder, "unfinished", `${hash}.state`))),
  };
}

function readState(path: string): RackState | undefined {
  if (!existsSync(path)) return undefined;
  try {
    return deserialize(readFileSync(path)) as RackState;
  } catch {
    // not whole, or another Node's: the arm is planned from its start
    return undefined;
  }
}

export interface Keeper {
  keepState(arm: number, state: RackState): void;
  /** with all entries as they stand */
  keepEnd(arm: number | undefined, result: PlanResult | undefined, entries: readonly RackEntry[]): void;
  /** resolves when all is written @returns the paths; what was not finished is cleared away where nothing waits */
  settle(): Promise<string[]>;
}

/** Writes one after the other. @throws the system's own errors, from `settle` */
export function createKeeper(folder: string, job: Job, arms: readonly RackArm[], console: Console): Keeper {
  // a cancel is no reason to leave unwritten what was reached
  const calm: Console = { ...console, signal: new AbortController().signal };
  let last: Promise<unknown> = Promise.resolve();
  const written = new Set<string>();
  const hashes = arms.map((arm) => hashOf(job, arm));
  const put = (where: string, name: string, content: string | Uint8Array): void => {
    last = last.then(async () => {
      for (const path of await writeWhole(where, [{ name, content }], calm)) if (!path.endsWith(".state")) written.add(path);
    });
    last.catch(() => undefined);
  };
  return {
    keepState: (arm, state) => put(join(folder, "unfinished"), `${hashes[arm]}.state`, serialize(state)),
    keepEnd(arm, result, entries) {
      const byFile = new Map(arms.map(({ file }, k) => [file, hashes[k] as string]));
      const lines: RackLine[] = sortRack(entries).map((entry) => ({ from: byFile.get(entry.file) ?? "", entry }));
      if (arm !== undefined && result !== undefined) put(join(folder, "plans"), planName(arms[arm] as RackArm), planJson(result));
      put(folder, "rack.json", rackJson({ version: 1, withy: version, job: job.name, inputs: jobInputs(job), arms: lines }));
      if (arm === undefined) return;
      last = last.then(() => rmSync(join(folder, "unfinished", `${hashes[arm]}.state`), { force: true }));
      last.catch(() => undefined);
    },
    async settle() {
      await last;
      const rest = join(folder, "unfinished");
      if (existsSync(rest) && readdirSync(rest).length === 0) rmSync(rest, { recursive: true });
      return [...written].sort();
    },
  };
}

function planName({ file }: RackArm): string {
  return `${file.replace(/\.ya?ml$/i, "").replace(/[/\\]/g, "-")}.json`;
}
