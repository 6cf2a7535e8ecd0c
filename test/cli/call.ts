/** Calls the command line inside this process, or as a process of its own. */
import { type ChildProcess, spawn } from "node:child_process";
import { fileURLToPath } from "node:url";
import type { Console } from "../../apps/cli/console.ts";
import { runCommand } from "../../apps/cli/run-command.ts";

export interface Called {
  readonly code: number | null;
  readonly out: string;
  readonly err: string;
}

export const root = fileURLToPath(new URL("../..", import.meta.url));

export async function call(args: readonly string[], signal: AbortSignal = new AbortController().signal): Promise<Called> {
  const heard = createConsole(signal);
  const code = await runCommand(args, heard.console);
  return { code, out: heard.out(), err: heard.err() };
}

export function createConsole(signal: AbortSignal = new AbortController().signal) {
  let out = "";
  let err = "";
  const console: Console = {
    out: (text) => {
      out += text;
    },
    err: (text) => {
      err += text;
    },
    isTerminal: false,
    signal,
  };
  return { console, out: () => out, err: () => err };
}

/** @param started is given the process, to end it or to shut its ear */
export function callProcess(args: readonly string[], started: (child: ChildProcess) => void = () => undefined): Promise<Called> {
  return new Promise((resolve) => {
    const child = spawn(process.execPath, ["--import", "tsx", "apps/cli/main.ts", ...args], { cwd: root });
    let out = "";
    let err = "";
    child.stdout.on("data", (data) => {
      out += data;
    });
    child.stderr.on("data", (data) => {
      err += data;
    });
    child.on("close", (code) => resolve({ code, out, err }));
    started(child);
  });
}
