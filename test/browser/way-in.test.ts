/** The Way in room in a real browser over a short job: what it shows, what follows the cursor, what a changed number does. */
import { fileURLToPath } from "node:url";
import type { Browser, Page } from "playwright-core";
import { afterAll, beforeAll, describe, expect, it } from "vitest";
import { type Complaints, openBrowser, type Served, serveJob, watch } from "./open-page.ts";

/** Small, because software rendering is paid by the pixel; the sizes people use have a test of their own. */
const viewport = { width: 1024, height: 640 };

let served: Served;
let browser: Browser;
let page: Page;
let complaints: Complaints;

const depthShown = async () => Number.parseFloat((await page.textContent("[data-test=depth]")) ?? "");
const text = (name: string) => page.textContent(`[data-test=${name}]`);

beforeAll(async () => {
  served = await serveJob(fileURLToPath(new URL("duct/job.yaml", import.meta.url)));
  browser = await openBrowser();
  await openPage();
});

afterAll(async () => {
  await browser?.close();
  await served?.close();
});

/** A fresh page with the plan on it. Tests that change nothing share one: software rendering takes seconds to begin. */
async function openPage(): Promise<void> {
  await page?.close();
  page = await browser.newPage({ viewport, reducedMotion: "reduce" });
  complaints = watch(page, served.address);
  await page.goto(served.address);
  await page.waitForSelector("[data-test=answer]");
}

/** Sets a number and cancels the plan that follows the moment it can be: the short plan would be over before a hand got there. */
async function changeAndCancel(field: string, written: string): Promise<void> {
  await page.fill(field, written);
  await page.evaluate(() => {
    const observer = new MutationObserver(() => {
      const button = document.querySelector<HTMLButtonElement>("[data-test=planning] button");
      if (button === null) return;
      observer.disconnect();
      button.click();
    });
    observer.observe(document.body, { subtree: true, childList: true });
  });
  await page.keyboard.press("Enter");
  await page.waitForSelector("[data-test=stale]");
}

describe("the page", () => {
  it("shows the plan that was made, without an error and without asking anybody else", async () => {
    const { verdict, wayIn } = served.result;
    expect(await text("answer")).toContain(verdict.answer);
    expect(await text("answer-says")).toBe(verdict.says);
    expect(await text("chip")).toContain(verdict.answer);
    expect(await page.textContent("h1")).toBe(served.job.name);
    // every margin has its rung, worst first, and every condition and caution its line
    const rungs = await page.$$eval("[data-test^=row-]", (all) => all.map((one) => one.getAttribute("data-test")));
    expect(rungs).toEqual(verdict.rows.map((row) => `row-${row.id}`));
    const panel = (await page.textContent("#panel-body")) ?? "";
    // the condition that only repeats what was not checked is said by the list of it
    const others = verdict.conditions.filter((line) => !line.includes(verdict.notChecked[0] as string));
    expect(others.length).toBeLessThan(verdict.conditions.length);
    for (const line of [...others, ...verdict.notChecked, ...verdict.assumptions, ...verdict.cautions]) expect(panel).toContain(line);
    expect(panel).toContain("Not checked yet: settle before use");
    // the cursor stands at the end of the way in
    expect(await depthShown()).toBeCloseTo(1000 * Math.max(...wayIn.map((one) => one.depth)), -0.3);
    expect(complaints).toEqual({ errors: [], foreign: [] });
  });

  it("tells the same clearance in the view, the ribbon and the plan", async () => {
    const last = served.result.wayIn.at(-1)!;
    expect(last.askedBody).toBeGreaterThanOrEqual(0);
    const asked = (1000 * last.asked).toFixed(1);
    expect(await page.textContent(".view-label.tight")).toBe(
      `clearance here: ${asked}\u202fmm to ${served.job.bodies[last.askedBody]?.name}`,
    );
    expect(await page.textContent("[data-test=reading-clearance] .on")).toMatch(new RegExp(`^${asked}\\s`));
  });

  it("draws the arm and the space: the picture is not one colour", async () => {
    await page.waitForTimeout(500);
    const colours = await page.locator(".view-host canvas").screenshot();
    expect(new Set(colours).size).toBeGreaterThan(100);
    const tip = await page.$eval(".tip canvas", (canvas) => {
      const flat = canvas as HTMLCanvasElement;
      const { data } = (flat.getContext("2d") as CanvasRenderingContext2D).getImageData(0, 0, flat.width, flat.height);
      return new Set(data).size;
    });
    expect(tip).toBeGreaterThan(20);
    expect(await text("tip-scale")).toMatch(/mm a pixel/);
  });

  it("holds everything within 1280 x 720 and a tablet: nothing reaches over its neighbour", async () => {
    for (const size of [
      { width: 1280, height: 720 },
      { width: 1920, height: 1080 },
      { width: 1024, height: 768 },
    ]) {
      await page.setViewportSize(size);
      await page.waitForTimeout(300);
      const beyond = await page.evaluate(() => {
        const boxes = [".top", ".view", ".tip", ".rose", ".ribbon", ".panel"].map((name) => ({
          name,
          box: (document.querySelector(name) as Element).getBoundingClientRect(),
        }));
        const outside = boxes.filter(
          ({ box }) => box.left < 0 || box.top < 0 || box.right > innerWidth + 0.5 || box.bottom > innerHeight + 0.5,
        );
        const over = boxes.flatMap((a, i) =>
          boxes
            .slice(i + 1)
            .filter(
              (b) =>
                a.box.right > b.box.left + 0.5 &&
                b.box.right > a.box.left + 0.5 &&
                a.box.bottom > b.box.top + 0.5 &&
                b.box.bottom > a.box.top + 0.5,
            )
            .map((b) => `${a.name} ${b.name}`),
        );
        // text that is cut off: wider than the box that hides it
        const cut = [
          ...document.querySelectorAll(".lane-title, .lane-reading, .readout, .card-head, .ribbon-head, .top > *, .rung-go > *, .tick"),
        ]
          .filter(
            (one) =>
              (one.scrollWidth > one.clientWidth + 1 || one.scrollHeight > one.clientHeight + 4) &&
              getComputedStyle(one).display !== "inline" &&
              !one.matches("h1"),
          )
          .map((one) => `${one.className}: ${one.textContent}`);
        return { outside: outside.map(({ name }) => name), over, cut };
      });
      expect({ size, ...beyond }).toEqual({ size, outside: [], over: [], cut: [] });
    }
  });
});

describe("the 3D view", () => {
  const portLabel = () => page.$eval(".view-label.port", (label) => (label as HTMLElement).style.transform);
  const settled = () => page.waitForTimeout(700);

  it("turns, shifts, comes nearer and goes back by keys", async () => {
    await settled();
    const first = await portLabel();
    await page.focus(".view-host canvas");
    let before = first;
    for (const key of ["ArrowLeft", "ArrowUp", "Shift+ArrowRight", "+"]) {
      await page.keyboard.press(key);
      // as long as a busy machine takes for its next frame
      for (let wait = 0; wait < 10 && (await portLabel()) === before; wait++) await settled();
      const after = await portLabel();
      expect(after, key).not.toBe(before);
      before = after;
    }
    await page.keyboard.press("0");
    await settled();
    expect(await portLabel()).toBe(first);
  });

  it("turns by the mouse and is cut open or whole", async () => {
    const before = await portLabel();
    const box = await page.locator(".view-host canvas").boundingBox();
    if (box === null) throw new Error("no view");
    const [x, y] = [box.x + 0.8 * box.width, box.y + 0.5 * box.height];
    await page.mouse.move(x, y);
    await page.mouse.down();
    await page.mouse.move(x - 60, y + 10, { steps: 3 });
    await page.mouse.up();
    await settled();
    expect(await portLabel()).not.toBe(before);
    const open = await page.locator(".view-host canvas").screenshot();
    await page.click("text=Cut open");
    await settled();
    const whole = await page.locator(".view-host canvas").screenshot();
    expect(Buffer.compare(open, whole)).not.toBe(0);
    await page.click("text=Cut open");
    await page.click("text=Reset view");
    await settled();
    expect(await portLabel()).toBe(before);
  });
});

describe("what may fail", () => {
  it("is found after the plan, and told over the depth by word and mark, by keys too", async () => {
    await page.waitForSelector(".fault-strip", { timeout: 120_000 });
    const kinds = await page.$$eval(".fault-strip", (strips) => strips.map((strip) => strip.getAttribute("aria-label")));
    expect(kinds).toEqual(["Cable broken", "Drive stalled", "Power lost, drives hold", "Power lost, drives let go"]);
    await page.focus(".fault-stretch");
    const said = await page.textContent(".fault-said");
    expect(said).toMatch(/^Cable broken, 0.*(out|with help|no way out|not known): /);
    expect(await page.getAttribute(".fault-stretch", "aria-label")).toBe(said);
    expect(await text("reading-faults")).toMatch(/out|with help|no way out|not known/);
    // the margins of it are in the ladder, and nothing is said any more of what was not looked at
    for (const id of ["cable-broken", "drive-stalled", "power-lost", "pull-out"])
      expect(await page.$(`[data-test=row-${id}]`)).not.toBeNull();
    expect(await page.textContent(".verdict")).not.toContain("what a broken cable, a stalled drive or lost power does");
  });
});

describe("the cursor", () => {
  it("dragged to another depth, takes everything with it", async () => {
    const before = {
      depth: await depthShown(),
      step: await text("step"),
      tip: await text("tip-scale"),
      rose: await text("rose-readout"),
      sag: await text("reading-sag"),
    };
    const box = await page.locator(".ribbon-cursor").boundingBox();
    if (box === null) throw new Error("no ribbon");
    await page.mouse.move(box.x + 0.9 * box.width, box.y + 10);
    await page.mouse.down();
    await page.mouse.move(box.x + 0.45 * box.width, box.y + 10, { steps: 4 });
    await page.mouse.up();
    const depth = await depthShown();
    expect(depth).toBeLessThan(before.depth);
    // it stands on a depth that was solved
    const nearest = served.result.wayIn.reduce((best, one) =>
      Math.abs(1000 * one.depth - depth) < Math.abs(1000 * best.depth - depth) ? one : best,
    );
    expect(Math.abs(1000 * nearest.depth - depth)).toBeLessThan(0.51);
    expect(await text("step")).not.toBe(before.step);
    expect(await text("tip-scale")).not.toBe(before.tip);
    expect(await text("rose-readout")).not.toBe(before.rose);
    expect(await text("reading-sag")).not.toBe(before.sag);
    // what the rose says is the strongest cable of that very depth
    expect(await text("rose-readout")).toContain(`${Math.max(...nearest.tension).toFixed(Math.max(...nearest.tension) < 10 ? 1 : 0)}`);
  });

  it("steps by keys, changes between the ways, and its place can be sent by address", async () => {
    await page.focus(".ribbon-cursor");
    await page.keyboard.press("Home");
    const depths = served.result.wayIn.map((one) => one.depth).sort((a, b) => a - b);
    expect(await depthShown()).toBe(Number((1000 * (depths[0] as number)).toFixed(0)));
    await page.keyboard.press("ArrowRight");
    expect(await depthShown()).toBe(Number((1000 * (depths[1] as number)).toFixed(0)));
    await page.keyboard.press("ArrowDown");
    expect(await page.getAttribute(".ribbon-cursor", "aria-valuetext")).toContain("way out");
    await page.keyboard.press("End");
    // written after a little while
    await expect.poll(() => page.url(), { timeout: 10_000 }).toMatch(/#way-in\/out\/[\d.]+mm$/);
    await page.waitForTimeout(300);
    const address = page.url();
    expect(address).toMatch(/#way-in\/out\/[\d.]+mm$/);
    const shown = await depthShown();
    await page.keyboard.press("Home");
    await page.goto("about:blank");
    await page.goto(address);
    await page.waitForSelector("[data-test=answer]");
    expect(await depthShown()).toBe(shown);
    expect(await page.getAttribute(".ribbon-cursor", "aria-valuetext")).toContain("way out");
  });

  it("goes where a margin is used most", async () => {
    await page.focus(".ribbon-cursor");
    await page.keyboard.press("Home");
    const row = served.result.verdict.rows.find((one) => one.where.depth !== undefined && one.where.depth > 0.1);
    if (row === undefined) throw new Error("no margin has a depth");
    await page.click(`[data-test=row-${row.id}] .rung-go`);
    expect(Math.abs((await depthShown()) - 1000 * (row.where.depth as number))).toBeLessThan(12);
    expect(await page.getAttribute(`[data-test=row-${row.id}] .rung-go`, "aria-expanded")).toBe("true");
  });

  it("pointing at a ring of the rose says its tensions", async () => {
    await page.focus("[data-test=ring-2]");
    expect(await text("rose-readout")).toMatch(/^Section 2: /);
  });
});

describe("a changed number", () => {
  it("that cannot be is refused in words at its field, and nothing else changes", async () => {
    await page.click("#tab-arm");
    await page.fill("#field-sections-cables-pretension", "-4 N");
    await page.keyboard.press("Enter");
    const words = await page.waitForSelector("#field-sections-cables-pretension-words");
    expect(await words.textContent()).toMatch(/-4 N.*0/);
    expect(await page.getAttribute("#field-sections-cables-pretension", "aria-invalid")).toBe("true");
    expect(await page.$("[data-test=stale]")).toBeNull();
    await page.focus("#field-sections-cables-pretension");
    await page.keyboard.press("Escape");
    expect(await page.inputValue("#field-sections-cables-pretension")).toBe("6 N");
    expect(await page.$("#field-sections-cables-pretension-words")).toBeNull();
  });

  it("plans again with progress, marks the old result meanwhile, and is undone", async () => {
    await page.click("#tab-arm");
    await page.fill("#field-sections-cables-pretension", "9 N");
    await page.keyboard.press("Enter");
    // both at one instant: the short plan is soon over
    const meanwhile = await page.waitForFunction(
      () => {
        const bar = document.querySelector("[data-test=planning]");
        if (bar?.querySelector("progress") === null || bar === null) return false;
        return { bar: bar.textContent ?? "", chip: document.querySelector("[data-test=chip]")?.textContent ?? "" };
      },
      undefined,
      { polling: 10 },
    );
    const said = (await meanwhile.jsonValue()) as { bar: string; chip: string };
    expect(said.bar).toContain("old numbers");
    expect(said.chip).toContain("old numbers");
    await page.waitForSelector("[data-test=planning]", { state: "detached", timeout: 50_000 });
    expect(await text("chip")).not.toContain("old numbers");
    // more pretension: every cable of the slackest section is pulled harder than it was
    const slackest = Number.parseFloat(((await text("reading-tension")) ?? "").split("/")[1] ?? "");
    expect(slackest).toBeGreaterThanOrEqual(8.5);
    await page.click("text=Undo");
    await page.waitForFunction(() => (document.querySelector("#field-sections-cables-pretension") as HTMLInputElement).value === "6 N");
    expect(await page.$("[data-test=planning]")).toBeNull();
    expect(await text("chip")).not.toContain("old numbers");
    await page.click("text=Redo");
    await page.waitForFunction(() => (document.querySelector("#field-sections-cables-pretension") as HTMLInputElement).value === "9 N");
    expect(complaints.errors).toEqual([]);
  });

  it("of the likely ones is planned on request, and said with its answer", async () => {
    await openPage();
    await page.click("text=Plan the likely changes");
    await page.waitForSelector("[data-test=turns]", { timeout: 50_000 });
    const turns = await page.$$eval("[data-test=turns] li", (all) => all.map((one) => one.textContent ?? ""));
    expect(turns.length).toBeGreaterThanOrEqual(2);
    expect(turns[0]).toMatch(/pretension up by half: +(go|no go|undecided)/);
    // the answer itself stays that of the arm as it is
    expect(await text("chip")).toContain(served.result.verdict.answer);
    expect(await page.$("[data-test=stale]")).toBeNull();
  });

  it("can be left unplanned: cancel stops the worker, and the old result stays marked as old", async () => {
    await openPage();
    await page.click("#tab-arm");
    await changeAndCancel("#field-tool-mass", "25 g");
    expect(await text("stale")).toContain("old ones");
    expect(await text("chip")).toContain("old numbers");
    await page.waitForTimeout(1500);
    expect(await page.$("[data-test=planning]")).toBeNull();
    expect(await text("chip")).toContain("old numbers");
  });
});

describe("when something is amiss, the page says so in words", () => {
  const open = async (change: (page: Page) => Promise<unknown>) => {
    await page.close();
    page = await browser.newPage({ viewport });
    await change(page);
    await page.goto(served.address);
  };

  it("no job", async () => {
    await open((one) => one.route("**/api/job", (route) => route.fulfill({ status: 404, body: "{}" })));
    await page.waitForSelector("text=No job is open");
  });

  it("a job file with faults: file, line, what and how", async () => {
    await open((one) =>
      one.route("**/files/job.yaml", async (route) => {
        const whole = new TextDecoder().decode(served.files.get("job.yaml"));
        await route.fulfill({ body: whole.replace("clearance: 2 mm", "clearence: 2 mm").replace("bore: 20 mm", "bore: 20") });
      }),
    );
    await page.waitForSelector("text=The job cannot be read");
    const words = (await page.textContent("main")) ?? "";
    expect(words).toMatch(/job\.yaml, line \d+/);
    expect(words).toContain("clearence");
  });

  it("a server that is gone", async () => {
    await open((one) => one.route("**/api/job", (route) => route.abort()));
    await page.waitForSelector("text=The server cannot be reached");
  });

  it("a worker that died: what was shown stays, and it can be started again", async () => {
    await openPage();
    const worker = page.workers()[0];
    if (worker === undefined) throw new Error("no worker");
    await worker.evaluate(() => {
      setTimeout(() => {
        throw new Error("out of memory");
      });
    });
    await page.waitForSelector("[data-test=worker-lost]");
    expect(await text("worker-lost")).toContain("out of memory");
    expect(await text("answer")).toContain(served.result.verdict.answer);
    await page.click("text=Start it again");
    await page.waitForSelector("[data-test=worker-lost]", { state: "detached" });
    await page.click("#tab-arm");
    await page.fill("#field-tool-mass", "25 g");
    await page.keyboard.press("Enter");
    await page.waitForSelector("[data-test=planning]");
  });
});

describe("a page that has to plan by itself", () => {
  it("shows the way as it is found, and comes to the same answer as Node", async () => {
    await page.close();
    page = await browser.newPage({ viewport });
    await page.route("**/api/plan", (route) => route.fulfill({ status: 404, body: "{}" }));
    // the plan is short: what is shown in between is noted as it comes, not asked for now and then
    await page.addInitScript(() => {
      new MutationObserver(() => {
        if (
          document.querySelector("[data-test=planning]") !== null &&
          document.querySelector("[data-test=answer]") === null &&
          /solved depth \d+ of \d+/.test(document.querySelector("[data-test=step]")?.textContent ?? "")
        )
          document.documentElement.dataset["seen"] = "on the way";
      }).observe(document, { childList: true, subtree: true, characterData: true });
    });
    await page.goto(served.address);
    await page.waitForSelector("[data-test=answer]", { timeout: 100_000 });
    expect(await page.getAttribute("html", "data-seen")).toBe("on the way");
    expect(await text("answer")).toContain(served.result.verdict.answer);
    // engines differ in the last bits of sine and exponential: uses are compared as they are shown, to a per cent
    for (const row of served.result.verdict.rows) {
      const shown = (await page.textContent(`[data-test=row-${row.id}] .rung-use`)) ?? "";
      if (Number.isFinite(row.use) && row.use < 9.99 && row.state !== "unknown")
        expect(Math.abs(Number.parseFloat(shown) - 100 * row.use)).toBeLessThan(1.6);
    }
  });
});

describe("changes that were not saved", () => {
  it("are offered at the next visit, and taken up or forgotten", async () => {
    await page.close();
    const visitor = await browser.newContext({ viewport });
    page = await visitor.newPage();
    await page.goto(served.address);
    await page.click("#tab-arm");
    await changeAndCancel("#field-tool-mass", "24 g");
    await page.reload();
    await page.waitForSelector("[data-test=kept]");
    await page.click("text=Bring them back");
    await page.click("#tab-arm");
    await page.waitForFunction(() => (document.querySelector("#field-tool-mass") as HTMLInputElement).value === "24 g");
    await page.click("text=Undo");
    await page.waitForFunction(() => (document.querySelector("#field-tool-mass") as HTMLInputElement).value === "20 g");
    await page.reload();
    await page.waitForSelector("[data-test=answer]");
    expect(await page.$("[data-test=kept]")).toBeNull();
    await visitor.close();
    page = await browser.newPage();
  });
});
