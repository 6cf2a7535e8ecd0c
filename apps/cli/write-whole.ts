/** Writes files so that each is there whole or not at all: under another name in the same folder first, then renamed. */
import { accessSync, constants, existsSync, readdirSync } from "node:fs";
import { type FileHandle, mkdir, open, rename, rm } from "node:fs/promises";
import { dirname, join, resolve } from "node:path";
import { type Console, stopIfCancelled } from "./console.ts";

export interface WholeFile {
  readonly name: string;
  readonly content: string | Uint8Array;
}

/** Says before long work that its results could not be put there. @throws the system's own errors */
export function checkPlace(folder: string): void {
  let place = resolve(folder);
  while (!existsSync(place)) place = dirname(place);
  readdirSync(place);
  accessSync(place, constants.W_OK);
}

/** @returns the paths written @throws Cancelled, and the system's own errors; nothing is left behind then */
export async function writeWhole(folder: string, files: readonly WholeFile[], console: Console): Promise<string[]> {
  await makeFolder(resolve(folder));
  const made: { part: string; path: string }[] = [];
  try {
    for (const { name, content } of files) {
      stopIfCancelled(console);
      const part = join(folder, `.${name}.${process.pid}.part`);
      const file = await open(part, "wx");
      made.push({ part, path: join(folder, name) });
      await fill(file, content);
    }
    stopIfCancelled(console);
    for (const { part, path } of made) await rename(part, path);
    return made.map(({ path }) => path);
  } finally {
    for (const { part } of made) await rm(part, { force: true });
  }
}

/** One after the other: made all at once, a place that the system never gives (under /proc) is asked for again for ever. */
async function makeFolder(folder: string): Promise<void> {
  if (existsSync(folder)) return;
  await makeFolder(dirname(folder));
  await mkdir(folder).catch((error: NodeJS.ErrnoException) => {
    if (error.code !== "EEXIST") throw error;
  });
}

async function fill(file: FileHandle, content: string | Uint8Array): Promise<void> {
  try {
    await file.writeFile(content);
    await file.sync();
  } finally {
    await file.close();
  }
}
