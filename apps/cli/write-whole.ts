/** Writes files so that each is there whole or not at all: under another name in the same folder first, then renamed. */
import { mkdir, open, rename, rm } from "node:fs/promises";
import { join } from "node:path";
import { type Console, stopIfCancelled } from "./console.ts";

export interface WholeFile {
  readonly name: string;
  readonly content: string | Uint8Array;
}

/** @returns the paths written @throws Cancelled, and the system's own errors; nothing is left behind then */
export async function writeWhole(folder: string, files: readonly WholeFile[], console: Console): Promise<string[]> {
  await mkdir(folder, { recursive: true });
  const parts = files.map(({ name }) => ({ part: join(folder, `.${name}.${process.pid}.part`), path: join(folder, name) }));
  try {
    for (const [k, { content }] of files.entries()) {
      stopIfCancelled(console);
      await writePart((parts[k] as { part: string }).part, content);
    }
    stopIfCancelled(console);
    for (const { part, path } of parts) await rename(part, path);
    return parts.map(({ path }) => path);
  } finally {
    for (const { part } of parts) await rm(part, { force: true });
  }
}

async function writePart(path: string, content: string | Uint8Array): Promise<void> {
  const file = await open(path, "wx");
  try {
    await file.writeFile(content);
    await file.sync();
  } finally {
    await file.close();
  }
}
