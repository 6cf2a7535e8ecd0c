/** The process: its words, its signals, its end. */
import { runCommand } from "./run-command.ts";

const stop = new AbortController();
for (const signal of ["SIGINT", "SIGTERM"] as const) {
  process.on(signal, () => {
    // a second one does not wait for the step under way
    if (stop.signal.aborted) process.exit(130);
    stop.abort();
  });
}
// whoever read our output has gone: nothing more to say
process.stdout.on("error", (error: NodeJS.ErrnoException) => {
  if (error.code === "EPIPE") process.exit();
  throw error;
});

process.exitCode = await runCommand(process.argv.slice(2), {
  out: (text) => void process.stdout.write(text),
  err: (text) => void process.stderr.write(text),
  isTerminal: process.stderr.isTTY === true,
  signal: stop.signal,
});
