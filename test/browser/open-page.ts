/** Builds the page, plans a job in Node, serves both on loopback and opens them in a headless Chromium. */
import { mkdtempSync, readFileSync, rmSync } from "node:fs";
import { tmpdir } from "node:os";
import { dirname, join, relative } from "node:path";
import { fileURLToPath } from "node:url";
import { type Browser, chromium, type Page } from "playwright-core";
import { build } from "vite";
import { createServer, listen } from "../../apps/server/index.ts";
import { runPlan } from "../../apps/worker/run.ts";
import { type Job, loadJob } from "../../src/job/index.ts";
import type { PlanResult } from "../../src/plan/index.ts";
import { planJson } from "../../src/report/index.ts";

export interface Served {
  readonly address: string;
  readonly job: Job;
  readonly result: PlanResult;
  readonly files: ReadonlyMap<string, Uint8Array>;
  close(): Promise<void>;
}

/** @param main path of a job file @param planned false: the page has to plan by itself @param rack arm files to be held against it */
export async function serveJob(main: string, planned = true, rack: ReadonlyMap<string, Uint8Array> = new Map()): Promise<Served> {
  const pageFolder = mkdtempSync(join(tmpdir(), "withy-page-"));
  const config = fileURLToPath(new URL("../../apps/page/vite.config.ts", import.meta.url));
  await build({ configFile: config, logLevel: "error", build: { outDir: pageFolder, emptyOutDir: true } });
  const { job, files } = openJob(main);
  const result = await planInNode(job);
  const text = planJson(result);
  const name = relative(dirname(main), main);
  const server = await createServer({ main: name, files, rack, planJson: () => (planned ? text : undefined), pageFolder, anyHost: false });
  const address = await listen(server, "127.0.0.1", 0);
  return {
    address,
    job,
    result,
    files,
    async close() {
      await server.close();
      rmSync(pageFolder, { recursive: true });
    },
  };
}

/** Software rendering: the pictures are real, their speed is not. */
export function openBrowser(): Promise<Browser> {
  return chromium.launch({
    executablePath: process.env["WITHY_CHROMIUM"] ?? "/usr/bin/chromium",
    args: ["--no-sandbox", "--headless=new", "--use-gl=angle", "--use-angle=swiftshader", "--enable-unsafe-swiftshader"],
  });
}

/** Everything the page said or asked for that it should not have. */
export interface Complaints {
  readonly errors: string[];
  readonly foreign: string[];
}

export function watch(page: Page, address: string): Complaints {
  const complaints: Complaints = { errors: [], foreign: [] };
  page.on("console", (message) => {
    // a job without a plan is answered by 404, which the browser notes by itself
    if (message.type() === "error" && !message.location().url.endsWith("/api/plan")) complaints.errors.push(message.text());
  });
  page.on("pageerror", (error) => complaints.errors.push(error.message));
  page.on("request", (request) => {
    const url = new URL(request.url());
    if (url.origin !== new URL(address).origin && url.protocol !== "blob:" && url.protocol !== "data:")
      complaints.foreign.push(request.url());
  });
  return complaints;
}

function openJob(main: string): { job: Job; files: ReadonlyMap<string, Uint8Array> } {
  const folder = dirname(main);
  const files = new Map<string, Uint8Array>();
  for (;;) {
    const answer = loadJob(relative(folder, main), files);
    if (answer.kind === "job") return { job: answer.job, files };
    for (const path of answer.paths) files.set(path, new Uint8Array(readFileSync(join(folder, path))));
  }
}

async function planInNode(job: Job): Promise<PlanResult> {
  const answer = await runPlan(job, { now: () => performance.now(), report: () => undefined, isCancelled: () => false });
  if (answer.kind !== "result") throw new Error("the plan was cancelled, which nobody asked for");
  return answer.result;
}
