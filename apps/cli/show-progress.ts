/** Progress with the time left, on a terminal; silence otherwise. */
import { type Options, SingleBar } from "cli-progress";
import type { Console } from "./console.ts";

export interface ProgressBar {
  /** @param done 0 to 1 */
  show(done: number, says: string): void;
  end(): void;
}

/** The bar counts in thousandths. */
const whole = 1000;

const look: Options = {
  format: "{bar} {percentage} % {left} {says}",
  barsize: 24,
  clearOnComplete: true,
  hideCursor: true,
  stream: process.stderr,
};

export function createProgressBar(console: Console): ProgressBar {
  if (!console.isTerminal) return { show: () => undefined, end: () => undefined };
  const bar = new SingleBar(look);
  const start = performance.now();
  bar.start(whole, 0, { left: "", says: "" });
  return {
    show(done, says) {
      bar.update(Math.floor(whole * done), { left: sayLeft(done, (performance.now() - start) / 1000), says: toOneLine(says) });
    },
    end: () => bar.stop(),
  };
}

/** A guess from the part that is done; none before there is something to go by. */
export function sayLeft(done: number, seconds: number): string {
  if (done < 0.02 || seconds < 0.5) return "";
  const left = Math.ceil((seconds * (1 - done)) / done);
  return left < 60 ? `${left} s left` : `${Math.floor(left / 60)} min ${left % 60} s left`;
}

function toOneLine(says: string): string {
  const room = Math.max(10, (process.stderr.columns || 80) - 48);
  return says.length <= room ? says : `${says.slice(0, room - 3)}...`;
}
