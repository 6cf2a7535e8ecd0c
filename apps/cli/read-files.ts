/** Reads a job or an arm with the files it names, and none outside its folder. */
import { readFileSync, realpathSync, statSync } from "node:fs";
import { basename, dirname, isAbsolute, join, relative, sep } from "node:path";
import { assert, InputError } from "../../src/base/index.ts";
import { type ArmAnswer, type Job, type JobAnswer, type LoadedArm, loadArm, loadJob } from "../../src/job/index.ts";
import { takeSurface, usualKeeping } from "../cad/keep-surface.ts";
import { Cancelled } from "./console.ts";

export interface OpenedJob {
  readonly job: Job;
  /** name of the job file among `files` */
  readonly main: string;
  /** [path from the job's folder] bytes; [key of a surface] the triangles made of a CAD file */
  readonly files: ReadonlyMap<string, Uint8Array>;
}

/**
 * @param path of the job file, or of a folder with a job.yaml
 * @param signal ends the reading of a CAD file, which may take minutes
 * @param hear   is told when that begins
 * @throws InputError, Cancelled; the system's own errors pass through
 */
export async function openJob(path: string, signal?: AbortSignal, hear?: (says: string) => void): Promise<OpenedJob> {
  const file = isFolder(path) ? join(path, "job.yaml") : path;
  const reading = startReading(file);
  for (;;) {
    const answer = readNamed<JobAnswer>(reading, loadJob);
    if (answer.kind === "job") return { job: answer.job, main: reading.main, files: reading.files };
    for (const ask of answer.surfaces ?? []) {
      const bytes = reading.files.get(ask.file) as Uint8Array;
      hear?.(`Making triangles of ${ask.file}`);
      const made = await takeSurface(ask, bytes, signal === undefined ? {} : { signal }, usualKeeping()).catch((error: unknown) => {
        throw signal?.aborted ? new Cancelled("cancelled") : error;
      });
      if (typeof made === "string") reading.missing.set(ask.key, made);
      else reading.files.set(ask.key, made);
    }
  }
}

/** @throws InputError; the system's own errors pass through */
export function openArm(path: string): LoadedArm {
  const answer = readNamed<ArmAnswer>(startReading(path), loadArm);
  assert(answer.kind === "arm", "an arm without needs");
  return answer;
}

/** What is known of the files while a loader asks for them. */
interface Reading {
  readonly folder: string;
  readonly main: string;
  readonly files: Map<string, Uint8Array>;
  readonly missing: Map<string, string>;
}

function startReading(path: string): Reading {
  return { folder: dirname(path), main: basename(path), files: new Map(), missing: new Map() };
}

type Loader<Answer> = (main: string, files: ReadonlyMap<string, Uint8Array>, missing: ReadonlyMap<string, string>) => Answer;
interface Asking {
  readonly kind: string;
  readonly paths?: readonly string[];
}

/** Gives the loader the files it asks for until it asks for no more. */
function readNamed<Answer extends Asking>({ folder, main, files, missing }: Reading, load: Loader<Answer>): Answer {
  for (;;) {
    const answer = inFolder(folder, () => load(main, files, missing));
    const asked = (answer.paths ?? []).filter((name) => !files.has(name) && !missing.has(name));
    if (asked.length === 0) return answer;
    for (const name of asked) {
      const read = readOne(folder, name, name !== main);
      if (typeof read === "string") missing.set(name, read);
      else files.set(name, read);
    }
  }
}

/** Largest file that is read into memory at once: Node's own limit. */
const mostBytes = 2 ** 31 - 1;

/** @returns the bytes, or why they cannot be had through a fault of the input */
function readOne(folder: string, name: string, inside: boolean): Uint8Array | string {
  const path = join(folder, name);
  try {
    if (inside && leadsOut(folder, path)) return "a link leads out of the job's folder";
    const found = statSync(path);
    if (found.isDirectory()) return "it is a folder";
    if (!found.isFile()) return "it is no plain file";
    if (found.size > mostBytes) return `it has ${found.size} bytes, more than the ${mostBytes} that can be read`;
    return readFileSync(path);
  } catch (error) {
    const { code } = error as NodeJS.ErrnoException;
    if (code === "ENOENT") return "there is no such file";
    if (code === "ENOTDIR") return "part of its path is a file, not a folder";
    if (code === "ELOOP") return "its links lead in a circle";
    if (code === "ENAMETOOLONG") return "its name is too long";
    throw error;
  }
}

function leadsOut(folder: string, path: string): boolean {
  const way = relative(realpathSync(folder), realpathSync(path));
  return way === ".." || way.startsWith(`..${sep}`) || isAbsolute(way);
}

/** Why it cannot be told is said when it is read. */
function isFolder(path: string): boolean {
  try {
    return statSync(path).isDirectory();
  } catch {
    return false;
  }
}

/** Names files in faults from where the person stands, so that a terminal can open them. */
function inFolder<T>(folder: string, task: () => T): T {
  try {
    return task();
  } catch (error) {
    if (!(error instanceof InputError)) throw error;
    throw new InputError(error.faults.map((fault) => (fault.file === undefined ? fault : { ...fault, file: join(folder, fault.file) })));
  }
}
