/** What a command may do to the world outside its files: say something, hear that it should stop. */
import type { UnitSystem } from "../../src/base/index.ts";

export interface Console {
  /** results */
  out(text: string): void;
  /** everything else: progress, remarks, faults */
  err(text: string): void;
  /** a person watches the progress */
  readonly isTerminal: boolean;
  /** aborted by Ctrl-C */
  readonly signal: AbortSignal;
}

/** Options that every command takes. */
export interface CommonOptions {
  readonly json?: boolean;
  readonly units: UnitSystem;
}

/** Thrown where a command stops because it was told to. */
export class Cancelled extends Error {
  override readonly name = "Cancelled";
}

export function stopIfCancelled(console: Console): void {
  if (console.signal.aborted) throw new Cancelled("cancelled");
}

/** Lines of what is going on, for a person who waits at a terminal; silence otherwise. */
export function hearOn(console: Console): (says: string) => void {
  return (says) => {
    if (console.isTerminal) console.err(`${says} ...\n`);
  };
}
