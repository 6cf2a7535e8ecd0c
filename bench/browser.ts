/**
 * The warm held solve in the worker of a headless Chromium and in Node: `npx tsx bench/browser.ts [rounds]`.
 *
 * One bundle, rounds of 200 solves, alternating; the page is served with the policy of the command line's server, so that the kernel is compiled as it is
 * there. Prints ms a solve of both and their ratio, checks that both find the same tip.
 */
import { mkdtempSync, rmSync, writeFileSync } from "node:fs";
import { createServer } from "node:http";
import type { AddressInfo } from "node:net";
import { tmpdir } from "node:os";
import { join } from "node:path";
import { fileURLToPath, pathToFileURL } from "node:url";
import { chromium } from "playwright-core";
import { build, type Rolldown } from "vite";
import { spreadOf } from "./measure.ts";

const rounds = Number(process.argv[2] ?? 15);
const solves = 200;

interface Round {
  readonly ms: number;
  readonly tip: number[];
  readonly kernel: boolean;
}

const bundle = (await build({
  configFile: false,
  logLevel: "error",
  build: {
    write: false,
    lib: { entry: fileURLToPath(new URL("./browser-rounds.ts", import.meta.url)), formats: ["es"], fileName: "rounds" },
  },
})) as Rolldown.RolldownOutput[];
const code = (bundle[0] as Rolldown.RolldownOutput).output[0].code;

const folder = mkdtempSync(join(tmpdir(), "withy-bench-"));
const file = join(folder, "rounds.mjs");
writeFileSync(file, code);
const inNode = (await import(pathToFileURL(file).href)) as { solveRound(solves: number): Round };

const files: Record<string, [string, string]> = {
  "/": ["text/html", '<!doctype html><meta charset="utf-8"><title>bench</title><script type="module" src="/page.js"></script>'],
  "/page.js": [
    "text/javascript",
    `const worker = new Worker("/worker.js", { type: "module" });
     window.solveRound = (solves) => new Promise((done, fail) => {
       worker.onmessage = ({ data }) => done(data);
       worker.onerror = (event) => fail(new Error(event.message));
       worker.postMessage(solves);
     });`,
  ],
  "/worker.js": ["text/javascript", 'import { solveRound } from "/rounds.js"; onmessage = ({ data }) => postMessage(solveRound(data));'],
  "/rounds.js": ["text/javascript", code],
};
const server = createServer((request, response) => {
  const found = files[request.url ?? ""];
  if (found === undefined) response.writeHead(404).end();
  else
    response
      .writeHead(200, {
        "content-type": found[0],
        "content-security-policy": "default-src 'none'; script-src 'self' 'wasm-unsafe-eval'; worker-src 'self'",
      })
      .end(found[1]);
}).listen(0, "127.0.0.1");
await new Promise((done) => server.once("listening", done));

const browser = await chromium.launch({ executablePath: process.env["WITHY_CHROMIUM"] ?? "/usr/bin/chromium", args: ["--no-sandbox"] });
try {
  const page = await browser.newPage();
  await page.goto(`http://127.0.0.1:${(server.address() as AddressInfo).port}/`);
  const inBrowser = (count: number): Promise<Round> =>
    page.evaluate((n) => (globalThis as unknown as { solveRound(n: number): Promise<Round> }).solveRound(n), count);
  for (let k = 0; k < 3; k++) {
    await inBrowser(solves);
    inNode.solveRound(solves);
  }
  const times: [number[], number[]] = [[], []];
  let last: [Round, Round] | undefined;
  for (let k = 0; k < rounds; k++) {
    const node = k % 2 === 0 ? inNode.solveRound(solves) : undefined;
    const there = await inBrowser(solves);
    last = [node ?? inNode.solveRound(solves), there];
    times[0].push(last[0].ms);
    times[1].push(last[1].ms);
  }
  const [node, there] = last as [Round, Round];
  const apart = Math.max(...node.tip.map((v, k) => Math.abs(v - (there.tip[k] as number))));
  if (!(apart < 1e-10)) throw new Error(`the tips lie ${apart} m apart`);
  const say = (values: readonly number[]): string => {
    const { median, least, lowQuarter, highQuarter } = spreadOf(values);
    return `${median.toFixed(3)} ms a solve (least ${least.toFixed(3)}, quarters ${lowQuarter.toFixed(3)} and ${highQuarter.toFixed(3)})`;
  };
  console.log(`Chromium ${browser.version()}, Node ${process.version}; ${rounds} rounds of ${solves} solves`);
  console.log(`  Node's thread      ${say(times[0])}, kernel: ${node.kernel}`);
  console.log(`  browser's worker   ${say(times[1])}, kernel: ${there.kernel}`);
  const ratio = spreadOf(times[0].map((ms, k) => (times[1][k] as number) / ms));
  console.log(
    `  worker / Node: ${ratio.median.toFixed(2)} (median of pairs), ${(Math.min(...times[1]) / Math.min(...times[0])).toFixed(2)} (least times)`,
  );
  console.log(`  tips ${apart.toExponential(1)} m apart`);
} finally {
  await browser.close();
  server.close();
  rmSync(folder, { recursive: true });
}
