/** What a thread for CAD files does with its one task, in Node and in a browser alike. */
import { convertCad, type SurfaceAnswer, sayComplaints } from "./convert.ts";
import type { CadTask, LoadKernel } from "./kernel.ts";

/** The kernel is given no more than the task's memory: this thread's own WebAssembly memories refuse to grow beyond it. */
export async function runTask(
  { ask, bytes, memory }: CadTask,
  load: LoadKernel,
  locate?: (name: string) => string,
): Promise<SurfaceAnswer> {
  const said: string[] = [];
  const hear = (line: string): void => {
    if (said.length < 100) said.push(line);
  };
  const limit = limitMemory(memory);
  try {
    const kernel = await load({ print: hear, printErr: hear, ...(locate === undefined ? {} : { locateFile: locate }) });
    return convertCad(kernel, ask, bytes, said);
  } catch (error) {
    if (limit.hit) return `it takes more than ${Math.round(memory / 2 ** 20)} MiB`;
    // what a kernel throws of its own has no words
    const words = sayComplaints(said) ?? (error instanceof Error ? error.message : "without a word");
    return `the CAD kernel broke down (${words})`;
  }
}

function limitMemory(most: number): { hit: boolean } {
  const state = { hit: false };
  const prototype = WebAssembly.Memory.prototype;
  const grow = prototype.grow;
  prototype.grow = function (this: WebAssembly.Memory, pages: number): number {
    if (this.buffer.byteLength + 65536 * pages > most) {
      state.hit = true;
      throw new RangeError("memory limit");
    }
    return grow.call(this, pages);
  };
  return state;
}
