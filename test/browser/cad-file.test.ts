/** A job with a CAD file, opened by a page that is given the file alone: the kernel runs in a worker of the browser. */
import { mkdtempSync, readFileSync, rmSync } from "node:fs";
import { tmpdir } from "node:os";
import { join } from "node:path";
import { fileURLToPath } from "node:url";
import type { Browser } from "playwright-core";
import { build } from "vite";
import { afterAll, beforeAll, expect, it } from "vitest";
import { createServer, listen } from "../../apps/server/index.ts";
import { stepText } from "../formats/cad-files.ts";
import { openBrowser, watch } from "./open-page.ts";

const folder = mkdtempSync(join(tmpdir(), "withy-cad-page-"));
const encode = (text: string): Uint8Array => new TextEncoder().encode(text);
const own = (file: string): string => readFileSync(new URL(`duct/${file}`, import.meta.url), "utf8");
let browser: Browser;

/** The short duct, its end plate a CAD file of two parts. */
function files(step: string): Map<string, Uint8Array> {
  const drawn = "    shape: box\n    size: [90 mm, 90 mm, 6 mm]\n";
  const job = own("job.yaml");
  expect(job).toContain(drawn);
  const mesh = "    shape: mesh\n    file: end.step\n    parts: [{ name: stud, leave-out: true }]\n";
  return new Map([
    ["job.yaml", encode(job.replace(drawn, mesh))],
    ["arm.yaml", encode(own("arm.yaml"))],
    ["end.step", encode(step)],
  ]);
}

const whole = stepText([
  { name: "cover", box: [-45, -45, -3, 45, 45, 3] },
  { name: "rim", box: [-45, -45, -9, 45, 45, -3] },
  { name: "stud", box: [-1, -1, 3, 1, 1, 60] },
]);

beforeAll(async () => {
  const config = fileURLToPath(new URL("../../apps/page/vite.config.ts", import.meta.url));
  await build({ configFile: config, logLevel: "error", build: { outDir: folder, emptyOutDir: true } });
  browser = await openBrowser();
});

afterAll(async () => {
  await browser?.close();
  rmSync(folder, { recursive: true });
});

async function open(step: string, look: (page: Awaited<ReturnType<Browser["newPage"]>>, address: string) => Promise<void>): Promise<void> {
  const server = await createServer({
    main: "job.yaml",
    files: files(step),
    planJson: () => undefined,
    pageFolder: folder,
    anyHost: false,
  });
  const address = await listen(server, "127.0.0.1", 0);
  const page = await browser.newPage({ viewport: { width: 1024, height: 640 }, reducedMotion: "reduce" });
  try {
    await look(page, address);
  } finally {
    await page.close();
    await server.close();
  }
}

it("is made into triangles there, planned with, and named by its parts; what is left out is told", async () => {
  await open(whole, async (page, address) => {
    const complaints = watch(page, address);
    const fetched: string[] = [];
    page.on("requestfinished", (request) => fetched.push(new URL(request.url()).pathname));
    await page.goto(address);
    await page.waitForSelector("[data-test=answer]");
    expect(fetched).toEqual(expect.arrayContaining(["/cad-kernel/occt-import-js.js", "/cad-kernel/occt-import-js.wasm"]));
    const panel = (await page.textContent("#panel-body")) ?? "";
    expect(panel).toContain("end plate / cover");
    expect(panel).not.toContain("end plate / stud,");
    expect(complaints).toEqual({ errors: [], foreign: [] });
  });
});

it("one without a surface is said in words, and the page has no other script that may make functions from text", async () => {
  await open(stepText([]), async (page, address) => {
    await page.goto(address);
    await page.waitForFunction(() => document.body.textContent?.includes("end.step was not made into triangles: the CAD kernel"));
    const policies = await page.evaluate(async () => {
      const scripts = [...document.querySelectorAll<HTMLScriptElement>("script[src]")].map(({ src }) => src);
      const found = await Promise.all([location.href, ...scripts].map((address) => fetch(address)));
      return found.map((answer) => answer.headers.get("content-security-policy") ?? "");
    });
    expect(policies.length).toBeGreaterThan(1);
    for (const policy of policies) {
      expect(policy).toContain("script-src");
      expect(policy).not.toContain("'unsafe-eval'");
    }
  });
});
