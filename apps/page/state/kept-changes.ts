/** Changes of the job's files that were not saved, kept in this browser until the next visit. */

interface Kept {
  /** version of the files on the disk that they were made on: for others they are not offered */
  readonly on: string;
  /** [file] changed text */
  readonly texts: Readonly<Record<string, string>>;
}

const key = (main: string) => `withy-changes ${main}`;

/** Keeps what differs between the files on the disk and those of the page; forgets when nothing does. */
export function keepChanges(main: string, on: string, disk: ReadonlyMap<string, Uint8Array>, now: ReadonlyMap<string, Uint8Array>): void {
  const texts: Record<string, string> = {};
  for (const [file, bytes] of now) {
    if (disk.get(file) !== bytes) texts[file] = new TextDecoder().decode(bytes);
  }
  try {
    if (Object.keys(texts).length === 0) localStorage.removeItem(key(main));
    else localStorage.setItem(key(main), JSON.stringify({ on, texts } satisfies Kept));
  } catch {
    // a browser may refuse to keep anything
  }
}

/** @returns the files with the kept changes, when there are any for just these files */
export function recallChanges(
  main: string,
  on: string,
  disk: ReadonlyMap<string, Uint8Array>,
): ReadonlyMap<string, Uint8Array> | undefined {
  try {
    const kept = JSON.parse(localStorage.getItem(key(main)) ?? "null") as Kept | null;
    if (kept === null || kept.on !== on) return undefined;
    const files = new Map(disk);
    for (const [file, text] of Object.entries(kept.texts)) files.set(file, new TextEncoder().encode(text));
    return files;
  } catch {
    return undefined;
  }
}

export function forgetChanges(main: string): void {
  try {
    localStorage.removeItem(key(main));
  } catch {
    // nothing was kept, then
  }
}
