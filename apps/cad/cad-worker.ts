/**
 * A browser's worker for one CAD file. The kernel is fetched from the server as its package has it; its glue makes functions from text, so that
 * the server gives this worker, and no other script, a policy that allows it.
 */
import type { CadTask, LoadKernel } from "./kernel.ts";
import { runTask } from "./run-task.ts";

interface KernelWindow {
  /** how a script of the kernel's kind hands itself over where there is no CommonJS */
  define?: ((needs: readonly string[], make: () => LoadKernel) => void) & { amd?: boolean };
}

addEventListener("message", (event: MessageEvent<CadTask>) => {
  const folder = event.data.kernel ?? "";
  void runTask(event.data, loadFrom(folder), (name) => folder + name).then((answer) =>
    postMessage(answer, { transfer: typeof answer === "string" ? [] : [answer.buffer as ArrayBuffer] }),
  );
});

function loadFrom(folder: string): LoadKernel {
  return async (setting) => {
    let kernel: LoadKernel | undefined;
    const define: KernelWindow["define"] = (_, make) => {
      kernel = make();
    };
    (self as KernelWindow).define = Object.assign(define, { amd: true });
    await import(/* @vite-ignore */ `${folder}occt-import-js.js`);
    if (kernel === undefined) throw new Error("it did not hand itself over");
    return kernel(setting);
  };
}
