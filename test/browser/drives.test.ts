/** The Drives tab of the way in: the plan's own numbers, one drive at a time, under the page's cursor; the run sheet handed over. */
import { cpSync, mkdtempSync, readFileSync, rmSync, writeFileSync } from "node:fs";
import { tmpdir } from "node:os";
import { join } from "node:path";
import { fileURLToPath } from "node:url";
import type { Browser, Page } from "playwright-core";
import { afterAll, beforeAll, expect, test } from "vitest";
import { openBrowser, type Served, serveJob } from "./open-page.ts";

const folder = mkdtempSync(join(tmpdir(), "withy-drives-"));
const drives = `drives:
  spool: { radius: 10 mm, wound: 3 }
  gear: { ratio: 50, efficiency: 0.8 }
  motor: { counts: 4096, torque: 40 mN m, speed: 4000 rpm }
  turns-in: 4
`;
let served: Served;
let browser: Browser;
let page: Page;

beforeAll(async () => {
  cpSync(fileURLToPath(new URL("../../examples/water-box", import.meta.url)), folder, { recursive: true });
  const [arm, job] = ["arm.yaml", "job.yaml"].map((name) => join(folder, name)) as [string, string];
  writeFileSync(arm, readFileSync(arm, "utf8") + drives);
  writeFileSync(job, `${readFileSync(job, "utf8")}conditions:\n  feed-rate: 4 mm/s\n`);
  served = await serveJob(job);
  browser = await openBrowser();
  page = await browser.newPage({ viewport: { width: 1280, height: 720 }, reducedMotion: "reduce" });
  await page.goto(`${served.address}/#way-in`);
  await page.waitForSelector("[data-test=answer]");
}, 180_000);

afterAll(async () => {
  await browser?.close();
  await served?.close();
  rmSync(folder, { recursive: true });
});

const read = async (id: string): Promise<string> => (await page.locator(`[data-test=${id}]`).textContent()) ?? "";
const numberOf = (text: string): number => Number(/[\u2212\d.]+/.exec(text)?.[0].replace("\u2212", "-"));

test("the tab is come to by keys too, and tells the chosen drive as the plan's table has it", async () => {
  await page.focus("#tab-verdict");
  await page.keyboard.press("ArrowLeft");
  await page.waitForSelector("[data-test=drive]");
  expect(await page.locator("[data-test=drive] option").allTextContents()).toEqual(
    Array.from({ length: 16 }, (_, c) => `cable ${c + 1} (section ${Math.floor(c / 4) + 1})`),
  );
  const table = served.result.drives!;
  const last = table.rows.filter(({ way }) => way === "in").at(-1)!;
  for (const cable of [0, 9]) {
    await page.selectOption("[data-test=drive]", String(cable));
    await expect.poll(() => read("drive-turns").then(numberOf)).toBeCloseTo(last.turns[cable]!, 2);
    expect(numberOf(await read("drive-torque"))).toBeCloseTo(1e3 * last.motorTorque[cable]!, 1);
    expect(numberOf(await read("drive-pull"))).toBeCloseTo(last.tension[cable]!, 0);
  }
  await page.waitForFunction(() => document.querySelectorAll(".drive-plot canvas").length === 4);
  expect(await read("way-times")).toContain("of moving");
}, 120_000);

test("the numbers follow the cursor", async () => {
  const before = await read("drive-turns");
  await page.locator(".ribbon button", { hasText: "Way out" }).click();
  const first = served.result.drives!.rows.find(({ way }) => way === "out")!;
  await expect.poll(() => read("drive-turns").then(numberOf)).toBeCloseTo(first.turns[9]!, 2);
  expect(typeof before).toBe("string");
}, 120_000);

test("the run sheet is handed over as one file that prints by itself", async () => {
  const answer = served.result.verdict.answer;
  const button = page.locator("[data-test=run-sheet]");
  if (answer !== "go" && answer !== "go with conditions") {
    expect(await button.count()).toBe(0);
    return;
  }
  const [download] = await Promise.all([page.waitForEvent("download"), button.click()]);
  expect(download.suggestedFilename()).toBe("runsheet.html");
  const html = readFileSync((await download.path())!, "utf8");
  expect(html).toContain(served.job.target.name);
  expect(html).toContain("When to stop, and when to turn back");
}, 120_000);
