/**
 * The layers: who may import whom, who may use which package, and what no file of src/ may touch.
 * An arrow includes what lies below it: `rod` may use `arm`, and so `math` and `base`.
 */

/** [folder] the folders right below it. */
export const arrows: Readonly<Record<string, readonly string[]>> = {
  "src/base": [],
  "src/math": ["src/base"],
  "src/formats": ["src/math"],
  "src/arm": ["src/math"],
  "src/rod": ["src/arm"],
  "src/space": ["src/math"],
  "src/path": ["src/space"],
  "src/insertion": ["src/rod", "src/path"],
  "src/capacity": ["src/rod"],
  "src/faults": ["src/insertion", "src/capacity"],
  "src/fit": ["src/rod"],
  "src/drum": ["src/rod"],
  "src/task": ["src/insertion"],
  "src/line": ["src/math"],
  "src/drive": ["src/insertion"],
  "src/outside": ["src/insertion"],
  "src/verdict": ["src/insertion", "src/faults", "src/capacity", "src/drum", "src/task", "src/line", "src/drive", "src/outside"],
  "src/live": ["src/insertion", "src/drive"],
  "src/job": ["src/verdict", "src/fit", "src/formats"],
  "src/plan": ["src/job"],
  "src/study": ["src/plan"],
  "src/report": ["src/study", "src/live"],
  "apps/cad": ["src/job"],
  "apps/worker": ["src/study", "src/live", "src/report", "apps/cad"],
  "apps/server": ["apps/worker"],
  "apps/cli": ["apps/server"],
  "apps/page": ["apps/worker"],
};

/** [folder] what it may use of the layers in its reach when it runs; their types it may name freely. The page computes nothing. */
export const valuesFrom: Readonly<Record<string, readonly string[]>> = {
  "apps/page": ["apps/worker", "src/base"],
};

/** [folder] the packages it may import. What is not here may import none. `node:` stands for Node's own modules. */
export const packages: Readonly<Record<string, readonly string[]>> = {
  "src/formats": ["@gltf-transform/core"],
  "src/fit": ["d3-dsv"],
  "src/job": ["yaml", "zod"],
  "src/report": ["@gltf-transform/core", "@observablehq/plot", "linkedom"],
  "apps/cad": ["node:"],
  "apps/worker": ["node:", "comlink", "yaml"],
  "apps/server": ["node:", "fastify", "@fastify/static", "@fastify/helmet"],
  "apps/cli": ["node:", "commander", "cli-progress"],
  "apps/page": ["preact", "@preact/signals", "three", "uplot", "vite", "three-mesh-bvh"],
};

/** Files by which a folder may be entered. `apps/worker/run.ts`, `many-cores.ts` and `open-pool.ts` are its doors for Node; `worker.ts` and `page-thread.ts` start threads of the page. */
export const doors: Readonly<Record<string, readonly string[]>> = {
  "apps/cad": ["index.ts", "keep-surface.ts", "cad-worker.ts"],
  "apps/worker": ["index.ts", "run.ts", "many-cores.ts", "open-pool.ts", "faults-on-cores.ts", "worker.ts", "page-thread.ts"],
};

/** Names that src/ must not use: the clock, chance, the console, the document, files, the network. */
export const forbiddenNames: readonly string[] = [
  "Date", "performance", "console", "document", "window", "self", "navigator", "localStorage", "sessionStorage", "indexedDB",
  "fs", "process", "fetch", "XMLHttpRequest", "WebSocket", "Worker", "setTimeout", "setInterval", "setImmediate", "requestAnimationFrame",
  "require", "globalThis", "crypto", "Buffer",
]; // biome-ignore format: a list to scan

export const forbiddenFolders: readonly string[] = ["utils", "util", "helpers", "helper", "common", "misc", "shared", "lib"];
