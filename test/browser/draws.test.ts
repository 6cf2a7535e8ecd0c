/** Truths drawn in a real browser for a short job's plan: the chance of trouble, and bands in the bars of the ladder. */
import { fileURLToPath } from "node:url";
import type { Browser, Page } from "playwright-core";
import { afterAll, beforeAll, describe, expect, it } from "vitest";
import { openBrowser, type Served, serveJob, watch } from "./open-page.ts";

let served: Served;
let browser: Browser;
let page: Page;

beforeAll(async () => {
  served = await serveJob(fileURLToPath(new URL("duct/job.yaml", import.meta.url)));
  browser = await openBrowser();
  page = await browser.newPage({ viewport: { width: 1280, height: 720 }, reducedMotion: "reduce" });
});

afterAll(async () => {
  await browser?.close();
  await served?.close();
});

describe("draws", () => {
  it("say the chance of trouble, and lay a band in the ladder's bars", async () => {
    const complaints = watch(page, served.address);
    await page.goto(served.address);
    await page.waitForSelector("[data-test=answer]");
    expect(await page.$$("[data-test=band]")).toEqual([]);
    await page.click("text=/^Draw \\d+ truths/");
    await page.waitForSelector("[data-test=draws]", { timeout: 120_000 });
    expect(await page.textContent("[data-test=draws]")).toMatch(
      /^Trouble in 0 % of the draws \(0 % to 3\.7 % at 95 %\)\. 100 draws of 2 numbers/,
    );
    // way-out is not told by draws
    const rows = served.result.verdict.rows.filter(({ id }) => id !== "way-out").map(({ id }) => id);
    for (const id of rows) expect(await page.$(`[data-test=row-${id}] [data-test=band]`), id).not.toBeNull();
    await page.click("[data-test=row-cable-load] .rung-go");
    expect(await page.textContent("[data-test=row-cable-load]")).toMatch(
      /Drawn: \d+\s?N to \d+\s?N in nine draws of ten; passed in 0 of 100/,
    );
    if (process.env["WITHY_PICTURES"] !== undefined) await page.screenshot({ path: `${process.env["WITHY_PICTURES"]}/draws.png` });
    expect(complaints).toEqual({ errors: [], foreign: [] });
  });
});
