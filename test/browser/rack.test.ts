/** The rack in a real browser over a short job: planned by the page's own workers, sorted, drawn, opened. */
import { readFileSync } from "node:fs";
import { fileURLToPath } from "node:url";
import type { Browser, Page } from "playwright-core";
import { afterAll, beforeAll, describe, expect, it } from "vitest";
import { type Complaints, openBrowser, type Served, serveJob, watch } from "./open-page.ts";

let served: Served;
let browser: Browser;
let page: Page;
let complaints: Complaints;

beforeAll(async () => {
  const text = readFileSync(new URL("duct/arm.yaml", import.meta.url), "utf8");
  const arms = {
    "slip.yaml": text.replace("spans: 7", "spans: 0"),
    "short.yaml": text.replace("spans: 7", "spans: 2").replace("name: twin three", "name: short"),
    "longer.yaml": text.replace("spans: 7", "spans: 8").replace("name: twin three", "name: longer"),
  };
  const rack = new Map(Object.entries(arms).map(([name, from]) => [name, new TextEncoder().encode(from)]));
  served = await serveJob(fileURLToPath(new URL("duct/job.yaml", import.meta.url)), true, rack);
  browser = await openBrowser();
  page = await browser.newPage({ viewport: { width: 1280, height: 720 }, reducedMotion: "reduce" });
  complaints = watch(page, served.address);
  await page.goto(served.address);
  await page.waitForSelector("[data-test=answer]");
});

afterAll(async () => {
  await browser?.close();
  await served?.close();
});

const rows = () => page.$$eval("[data-test=rack-arm]", (all) => all.map((one) => one.textContent ?? ""));

describe("the rack", () => {
  it("plans every arm by workers of the page, those that can first, with the reason for each no", async () => {
    await page.click("#tab-rack");
    expect(await page.textContent("[data-test=rack-count]")).toBe("3 arms in the rack");
    await page.click("text=Plan every arm");
    await page.waitForSelector("text=Plan them again", { timeout: 120_000 });
    const [first, second, third] = await rows();
    expect(first).toMatch(/^longer.*go with conditions/);
    expect(second).toMatch(/^short.*(no go|undecided).*[Tt]oo far/);
    expect(third).toMatch(/^slip\.yaml.*spans/);
    expect(await page.textContent("[data-test=rack-count]")).toBe("1 of 3 arms can");
    expect(complaints).toEqual({ errors: [], foreign: [] });
  });

  it("draws them at the target in the view", async () => {
    const canvas = page.locator(".view-host canvas");
    await page.mouse.move(5, 5);
    await page.waitForTimeout(600);
    const drawn = await canvas.screenshot();
    await page.uncheck(".rack-draw input");
    await page.waitForTimeout(600);
    expect(Buffer.compare(await canvas.screenshot(), drawn)).not.toBe(0);
    await page.check(".rack-draw input");
  });

  it("opens an arm's plan in the whole room; undo brings the job's own back", async () => {
    await page.click("[data-test=rack-arm] button >> text=longer");
    await page.click("#tab-verdict");
    const reach = served.result.verdict.rows.find(({ id }) => id === "reach");
    // a span of 10.7 mm more in each of three sections
    const longer = (1000 * ((reach?.limit as number) + 3 * 0.0107)).toFixed(0);
    await page.waitForFunction((says) => (document.querySelector("[data-test=row-reach]")?.textContent ?? "").includes(says), longer);
    expect(await page.$("[data-test=planning]")).toBeNull();
    await page.click("#tab-arm");
    await page.click("button >> text=/^Undo/");
    await page.click("#tab-verdict");
    await page.waitForFunction((gone) => !(document.querySelector("[data-test=row-reach]")?.textContent ?? gone).includes(gone), longer);
    expect(await page.textContent("[data-test=row-reach]")).toContain((1000 * (reach?.limit as number)).toFixed(0));
    expect(complaints).toEqual({ errors: [], foreign: [] });
  });
});
