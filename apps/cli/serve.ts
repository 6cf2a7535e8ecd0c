/** `withy serve`: plans a job and shows it in the browser of this machine. */
import { existsSync } from "node:fs";
import { fileURLToPath } from "node:url";
import { createServer, fetchPage, isLoopback, listen } from "../server/index.ts";
import { type CommonOptions, type Console, hearOn } from "./console.ts";
import { exitCodes } from "./exit-codes.ts";
import { planJob } from "./plan-job.ts";
import { openJob } from "./read-files.ts";
import { readRackFiles } from "./read-rack.ts";
import { sayVerdict, verdictData } from "./say-verdict.ts";

export interface ServeOptions {
  readonly port?: number;
  readonly host: string;
  readonly once?: boolean;
  readonly unplanned?: boolean;
  readonly rack?: string;
}

/** Ends with 0 when the page was served, whatever the verdict. */
export async function serve(path: string, options: CommonOptions & ServeOptions, console: Console): Promise<number> {
  const { job, main, files } = await openJob(path, console.signal, hearOn(console));
  for (const remark of job.remarks) console.err(`Note: ${remark}\n`);
  const rack = options.rack === undefined ? {} : { rack: readRackFiles(options.rack, path) };
  let plan: string | undefined;
  const anyHost = !isLoopback(options.host);
  const server = await createServer({ main, files, ...rack, planJson: () => plan, pageFolder: findPage(), anyHost });
  try {
    // the address is taken before the long work, so that a port in use is known at once
    const address = await listen(server, options.host, options.port);
    if (!options.unplanned) {
      const result = await planJob(job, { turns: 0, faults: false, seek: false }, console);
      const { planJson } = await import("../../src/report/index.ts");
      plan = planJson(result);
      if (options.json) console.out(`${JSON.stringify({ address, ...verdictData(result, []) }, null, 2)}\n`);
      else console.out(`${sayVerdict(result, options.units)}\n`);
    } else if (options.json) console.out(`${JSON.stringify({ address }, null, 2)}\n`);
    if (anyHost) console.err(`Other machines on the network can see this job at ${options.host}.\n`);
    if (options.once) return await fetchOnce(address, options, console);
    if (!options.json) console.out(`The page: ${address}  (Ctrl-C ends)\n`);
    await ended(console.signal);
    return exitCodes.go;
  } finally {
    await server.close();
  }
}

async function fetchOnce(address: string, options: ServeOptions, console: Console): Promise<number> {
  const answers = await fetchPage(address.replace("//0.0.0.0:", "//127.0.0.1:").replace("//[::]:", "//[::1]:"));
  const failed = answers.filter(({ path, status }) => status !== 200 && !(options.unplanned && path === "/api/plan"));
  const bytes = answers.reduce((sum, answer) => sum + answer.bytes, 0);
  if (failed.length === 0) {
    console.err(`The page at ${address} answered: ${answers.length} files, ${bytes} bytes.\n`);
    return exitCodes.go;
  }
  for (const { path, status } of failed) console.err(`${address.slice(0, -1)}${path} answered ${status}.\n`);
  console.err("The page is not whole. Run npm run build and start again.\n");
  return exitCodes.bug;
}

function ended(signal: AbortSignal): Promise<void> {
  return new Promise((resolve) => {
    if (signal.aborted) resolve();
    else signal.addEventListener("abort", () => resolve(), { once: true });
  });
}

/** In the built tree the page lies beside apps/; from the sources, in dist/. */
function findPage(): string {
  const built = fileURLToPath(new URL("../../page", import.meta.url));
  return existsSync(built) ? built : fileURLToPath(new URL("../../dist/page", import.meta.url));
}
