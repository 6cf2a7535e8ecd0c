/** Long work in slices, with a pause between two that lets messages in. */

export interface Caller {
  /** milliseconds, of any origin */
  now(): number;
  /** asked after every slice */
  isCancelled(): boolean;
}

/** Milliseconds of work between two pauses. */
const slice = 30;

/** @param report called after every slice @returns false when it was cancelled on the way */
export async function runInSlices(step: () => void, isDone: () => boolean, report: () => void, caller: Caller): Promise<boolean> {
  while (!isDone()) {
    const end = caller.now() + slice;
    do {
      step();
    } while (!isDone() && caller.now() < end);
    report();
    await pause();
    if (caller.isCancelled()) return false;
  }
  return true;
}

/** A macrotask: lets messages and key strokes in, which a resolved promise alone does not, and is not slowed as nested timers are. */
function pause(): Promise<void> {
  return new Promise((resolve) => {
    const { port1, port2 } = new MessageChannel();
    port1.onmessage = () => {
      port1.close();
      resolve();
    };
    port2.postMessage(0);
  });
}
