/** The smallest change that would do, looked for in the page over a short job that is no go by its sag alone. */
import { cpSync, mkdtempSync, readFileSync, rmSync, writeFileSync } from "node:fs";
import { tmpdir } from "node:os";
import { join } from "node:path";
import { fileURLToPath } from "node:url";
import type { Browser, Page } from "playwright-core";
import { afterAll, beforeAll, expect, it } from "vitest";
import { type Complaints, openBrowser, type Served, serveJob, watch } from "./open-page.ts";

const folder = mkdtempSync(join(tmpdir(), "withy-seek-"));
let served: Served;
let browser: Browser;
let page: Page;
let complaints: Complaints;

beforeAll(async () => {
  cpSync(fileURLToPath(new URL("duct", import.meta.url)), folder, { recursive: true });
  const main = join(folder, "job.yaml");
  const text = readFileSync(main, "utf8");
  // a little less than it sags
  writeFileSync(main, `${text.replace(/sag: \S+ mm/, "sag: 0.95 mm")}\nmay-change: [backbone, pretension]\n`);
  served = await serveJob(main);
  browser = await openBrowser();
  page = await browser.newPage({ viewport: { width: 1280, height: 720 }, reducedMotion: "reduce" });
  complaints = watch(page, served.address);
  await page.goto(served.address);
});

afterAll(async () => {
  await browser?.close();
  await served?.close();
  rmSync(folder, { recursive: true });
});

it("is offered where the plan is no go, and told with what was tried and what was not", async () => {
  expect(served.result.verdict.answer).toBe("no go");
  await page.click("[data-test=seek]");
  await page.waitForSelector("[data-test=sought]", { timeout: 100_000 });
  expect(await page.textContent("[data-test=sought]")).toMatch(/smallest change found that would do: (rods|pretension)/);
  const tried = await page.$$eval("[data-test=turns] li", (all) => all.map((one) => one.textContent ?? ""));
  expect(tried.length).toBeGreaterThan(0);
  expect(tried.every((one) => /^(rods|pretension|twin)/.test(one))).toBe(true);
  if (process.env["WITHY_PICTURES"] !== undefined) await page.screenshot({ path: join(process.env["WITHY_PICTURES"], "seek.png") });
  expect(complaints).toEqual({ errors: [], foreign: [] });
});
