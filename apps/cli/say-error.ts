/** Any error -> words for a person or a machine, and the code to end with. */
import { type Fault, InputError, sayFault } from "../../src/base/index.ts";
import { Cancelled } from "./console.ts";
import { exitCodes } from "./exit-codes.ts";

export interface SaidError {
  readonly exitCode: number;
  readonly words: string;
  /** for `--json` */
  readonly data: { readonly error: "input" | "cancelled" | "system" | "bug"; readonly problem: string; readonly faults: readonly Fault[] };
}

export function sayError(error: unknown): SaidError {
  if (error instanceof InputError) {
    const count = error.faults.length;
    const words = `${error.faults.map(sayFault).join("\n")}\n${count} ${count === 1 ? "fault" : "faults"}.`;
    return said(exitCodes.badInput, "input", words, error.faults);
  }
  if (error instanceof Cancelled) return said(exitCodes.cancelled, "cancelled", "Cancelled. Nothing was written.");
  if (isSystemError(error)) return said(exitCodes.system, "system", saySystem(error));
  const trace = error instanceof Error ? (error.stack ?? error.message) : String(error);
  return said(exitCodes.bug, "bug", `withy itself failed; your files are not to blame. Please report this with the job:\n${trace}`);
}

function said(exitCode: number, kind: SaidError["data"]["error"], words: string, faults: readonly Fault[] = []): SaidError {
  return { exitCode, words, data: { error: kind, problem: words, faults } };
}

function isSystemError(error: unknown): error is NodeJS.ErrnoException {
  return error instanceof Error && typeof (error as NodeJS.ErrnoException).syscall === "string";
}

const reasons: Readonly<Record<string, string>> = {
  EACCES: "this user has no right to it. Give the right, or choose another place",
  EPERM: "this user has no right to it. Give the right, or choose another place",
  EROFS: "that place can only be read. Choose another",
  ENOSPC: "the disk is full. Make room and run the same command again",
  EDQUOT: "your share of the disk is used up. Make room and run the same command again",
  EMFILE: "too many files are open. Close some programs and run the same command again",
  EEXIST: "something else of that name is in the way. Move it, or choose another place",
  ENOTDIR: "part of the path is a file, not a folder. Choose another place",
  EISDIR: "a folder of that name is in the way. Move it, or choose another place",
  EADDRINUSE: "that port is taken. Choose another with --port",
  EADDRNOTAVAIL: "this machine has no such address. Choose another with --host",
  ENOTFOUND: "this machine has no such address. Choose another with --host",
  EIO: "the disk or its connection failed. Check it, then run the same command again",
};

function saySystem(error: NodeJS.ErrnoException): string {
  const code = error.code ?? "";
  const place = error.path ?? ("port" in error ? `port ${error.port}` : "");
  return `The system refused (${code}${place === "" ? "" : `, ${place}`}): ${reasons[code] ?? error.message}.`;
}
