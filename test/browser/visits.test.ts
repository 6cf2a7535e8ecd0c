/** Several targets on the page: which one the ribbon, the views and the numbers show. */
import { fileURLToPath } from "node:url";
import type { Browser, Page } from "playwright-core";
import { afterAll, beforeAll, expect, test } from "vitest";
import { type Complaints, openBrowser, type Served, serveJob, watch } from "./open-page.ts";

let served: Served;
let browser: Browser;
let page: Page;
let complaints: Complaints;

beforeAll(async () => {
  served = await serveJob(fileURLToPath(new URL("two-places/job.yaml", import.meta.url)));
  browser = await openBrowser();
  page = await browser.newPage({ viewport: { width: 1024, height: 640 }, reducedMotion: "reduce" });
  complaints = watch(page, served.address);
  await page.goto(served.address);
  await page.waitForSelector("[data-test=answer]");
});

afterAll(async () => {
  await browser?.close();
  await served?.close();
});

const text = (name: string) => page.textContent(`[data-test=${name}]`);

test("every visit with its answer, the choices there were, and one of them in the ribbon", async () => {
  const visits = served.result.visits ?? [];
  expect(visits).toHaveLength(2);
  const said = (await text("visits")) ?? "";
  for (const visit of visits) {
    expect(said).toContain(visit.target);
    expect(said).toContain(visit.verdict.answer);
    if (visit.choices.length > 1) for (const choice of visit.choices) expect(said).toContain(choice.says);
  }
  expect(await text("step")).toContain(`of ${visits[0]?.wayIn.length}`);
  await page.selectOption("[data-test=visit]", "1");
  expect(await text("step")).toBe(`solved depth ${visits[1]?.wayIn.length} of ${visits[1]?.wayIn.length}`);
  const at = Number.parseFloat((await text("depth")) ?? "");
  expect(Math.abs(at - 1000 * (visits[1]?.wayIn.at(-1)?.depth ?? 0))).toBeLessThan(0.51);
  expect(await text("sight")).toContain(`${(1000 * (visits[1]?.sight?.distance ?? 0)).toFixed(1)}`);
});

test("a margin sends the page to the target it is of", async () => {
  const row = served.result.verdict.rows.find(({ where }) => where.visit === 0 && where.depth !== undefined);
  expect(row).toBeDefined();
  await page.click(`[data-test=row-${row?.id}] .rung-go`);
  expect(await page.inputValue("[data-test=visit]")).toBe("0");
  expect(complaints).toEqual({ errors: [], foreign: [] });
});
