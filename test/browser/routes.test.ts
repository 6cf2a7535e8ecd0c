/** Other routes in the page: found on request, drawn, chosen by key and by click; and what stands in the way where there is none. */
import { cpSync, mkdtempSync, readFileSync, rmSync, writeFileSync } from "node:fs";
import { tmpdir } from "node:os";
import { join } from "node:path";
import { fileURLToPath } from "node:url";
import type { Browser, Page } from "playwright-core";
import { afterAll, beforeAll, describe, expect, it } from "vitest";
import { type Complaints, openBrowser, type Served, serveJob, watch } from "./open-page.ts";
import { roomJob } from "./room-job.ts";

const viewport = { width: 1280, height: 800 };
const folder = mkdtempSync(join(tmpdir(), "withy-routes-"));
const shots = process.env["WITHY_SHOTS"];

let browser: Browser;
beforeAll(async () => {
  browser = await openBrowser();
});
afterAll(async () => {
  await browser?.close();
  rmSync(folder, { recursive: true });
});

async function open(served: Served): Promise<{ page: Page; complaints: Complaints }> {
  const page = await browser.newPage({ viewport, reducedMotion: "reduce" });
  const complaints = watch(page, served.address);
  await page.goto(served.address);
  await page.waitForSelector("[data-test=answer]");
  return { page, complaints };
}

async function shoot(page: Page, name: string): Promise<void> {
  if (shots !== undefined) await page.screenshot({ path: join(shots, `${name}.png`) });
}

describe("routes to choose from", { timeout: 240_000 }, () => {
  it("are listed, drawn and planned by", async () => {
    const room = join(folder, "room");
    cpSync(fileURLToPath(new URL("duct", import.meta.url)), room, { recursive: true });
    writeFileSync(join(room, "job.yaml"), roomJob);
    const served = await serveJob(join(room, "job.yaml"));
    const { page, complaints } = await open(served);
    await page.click("[data-test=seek-routes]");
    await page.waitForSelector("[data-test=routes]", { timeout: 120_000 });
    expect(await page.locator("[data-test=routes] .route").count()).toBeGreaterThan(1);
    expect(await page.locator("[data-test=routes] .taken b").first().textContent()).toBe("1");
    await page.waitForSelector(".view-label.route:not([hidden])");
    expect(await page.locator(".view-label.route:not([hidden])").first().textContent()).toMatch(/route \d/);
    await shoot(page, "routes-offered");
    await page.focus("canvas");
    await page.keyboard.press("2");
    await page.waitForSelector("[data-test=planning]");
    await page.waitForSelector(".routes .taken [data-test=route-2]", { timeout: 200_000 });
    expect(await page.locator("[data-test=routes] .route").count()).toBeGreaterThan(1);
    await shoot(page, "routes-by-second");
    expect(complaints).toEqual({ errors: [], foreign: [] });
    await page.close();
    await served.close();
  });
});

describe("no route", { timeout: 240_000 }, () => {
  /** The duct with a plate across it, whose hole is too small. */
  const job = join(folder, "blocked");
  it("is told in the view by the width of the narrowest place and the body that makes it", async () => {
    cpSync(fileURLToPath(new URL("duct", import.meta.url)), job, { recursive: true });
    const text = readFileSync(join(job, "job.yaml"), "utf8");
    const plate = [
      "  - name: orifice plate",
      "    shape: plate",
      "    size: [120 mm, 120 mm]",
      "    thickness: 4 mm",
      "    hole: 9 mm",
      "    at: [0 mm, 0 mm, -70 mm]",
      "    touch: free",
      "",
    ].join("\n");
    writeFileSync(join(job, "job.yaml"), text.replace("  - name: end plate\n", `${plate}  - name: end plate\n`));
    const served = await serveJob(join(job, "job.yaml"));
    expect(served.result.route.status).toBe("no-passage");
    const { page, complaints } = await open(served);
    const label = page.locator(".view-label.pointed");
    await label.waitFor();
    // the hole of the plate, as the job says it
    expect(await label.textContent()).toMatch(/^9\.0\s?mm wide at orifice plate, needed \d/);
    await shoot(page, "blocked");
    expect(complaints).toEqual({ errors: [], foreign: [] });
    await page.close();
    await served.close();
  });
});
