/** Surfaces made of CAD files, kept on this machine by what they were made of: what took long once is there at once the next time. */
import { mkdirSync, readdirSync, readFileSync, renameSync, rmSync, statSync, utimesSync, writeFileSync } from "node:fs";
import { createRequire } from "node:module";
import { homedir } from "node:os";
import { join } from "node:path";
import { readSurface } from "../../src/formats/index.ts";
import type { SurfaceAsk } from "../../src/job/index.ts";
import type { SurfaceAnswer } from "./convert.ts";
import { type CadCaller, makeSurface } from "./make-surface.ts";

/** Changes when the same file would be made into other triangles by this program; the kernel's version counts by itself. */
const maker = 1;

export interface Keeping {
  /** where surfaces are kept; nowhere when absent */
  readonly folder: string | undefined;
  /** what was made in less is not kept, ms */
  readonly worth: number;
  /** most bytes that are kept: what was not used for longest goes first */
  readonly most: number;
}

/** The user's own folder for what can be made again; WITHY_CACHE names another, and none when it is empty. */
export function usualKeeping(): Keeping {
  const { WITHY_CACHE: own, XDG_CACHE_HOME: shared, LOCALAPPDATA: local } = process.env;
  const folder = own === "" ? undefined : (own ?? join(shared || local || join(homedir(), ".cache"), "withy", "surfaces"));
  return { folder, worth: 2000, most: 2 ** 30 };
}

/** As `makeSurface`; a folder that cannot be written or read is as none. */
export async function takeSurface(ask: SurfaceAsk, bytes: Uint8Array, caller: CadCaller, keeping: Keeping): Promise<SurfaceAnswer> {
  const { folder, worth } = keeping;
  const file = folder === undefined ? undefined : join(folder, nameOf(ask));
  const kept = file === undefined ? undefined : readKept(file);
  if (kept !== undefined) return kept;
  const start = performance.now();
  const made = await makeSurface(ask, bytes, caller);
  if (file !== undefined && typeof made !== "string" && performance.now() - start >= worth) keep(file, made, keeping);
  return made;
}

function nameOf({ key }: SurfaceAsk): string {
  const kernel = createRequire(import.meta.url)("occt-import-js/package.json") as { version: string };
  return `${key.replace(/[^\w.+-]+/g, "-")}-${maker}-${kernel.version}.surface`;
}

/** @returns nothing where there is none, or none that is whole */
function readKept(file: string): Uint8Array | undefined {
  try {
    const bytes = new Uint8Array(readFileSync(file));
    readSurface(bytes);
    const now = new Date();
    utimesSync(file, now, now);
    return bytes;
  } catch {
    return undefined;
  }
}

function keep(file: string, bytes: Uint8Array, { folder = "", most }: Keeping): void {
  const half = `${file}.${process.pid}`;
  try {
    mkdirSync(folder, { recursive: true });
    writeFileSync(half, bytes);
    renameSync(half, file);
    const all = readdirSync(folder)
      .map((name) => join(folder, name))
      .map((path) => ({ path, ...pick(path) }))
      .sort((a, b) => b.used - a.used);
    let sum = 0;
    for (const { path, size } of all) {
      sum += size;
      if (sum > most) rmSync(path, { force: true });
    }
  } catch {
    forget(half);
  }
}

function forget(path: string): void {
  try {
    rmSync(path, { force: true });
  } catch {
    // where no folder is there is no file either
  }
}

function pick(path: string): { used: number; size: number } {
  const { mtimeMs, size } = statSync(path);
  return { used: mtimeMs, size };
}
