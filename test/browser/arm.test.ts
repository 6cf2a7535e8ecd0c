/** The Arm room in a real browser over a short job: the drawing, the live maps, numbers changed, refused and put back. */
import { fileURLToPath } from "node:url";
import type { Browser, Page } from "playwright-core";
import { afterAll, beforeAll, describe, expect, it } from "vitest";
import type { CapacityAnswer } from "../../apps/cli/describe-capacity.ts";
import { call } from "../cli/call.ts";
import { type Complaints, openBrowser, type Served, serveJob, watch } from "./open-page.ts";

const main = fileURLToPath(new URL("duct/job.yaml", import.meta.url));
const armFile = fileURLToPath(new URL("duct/arm.yaml", import.meta.url));
const viewport = { width: 1280, height: 720 };

let served: Served;
let browser: Browser;
let page: Page;
let complaints: Complaints;

const text = async (name: string) => (await page.textContent(`[data-test=${name}]`)) ?? "";
const state = (map: string) => page.getAttribute(`[data-test=map-${map}]`, "data-state");
const drawn = (...maps: string[]) =>
  page.waitForFunction(
    (all) => all.every((map) => document.querySelector(`[data-test=map-${map}]`)?.getAttribute("data-state") === "done"),
    maps,
    { timeout: 50_000 },
  );
const payload = drawn.bind(undefined, "direction", "length", "pretension");
/** the number that a reading tells first, in the unit that follows it */
const amount = (reading: string, unit: string) => Number.parseFloat(new RegExp(`([\\d.]+)\\s*${unit}`).exec(reading)?.[1] ?? "nothing");

beforeAll(async () => {
  served = await serveJob(main);
  browser = await openBrowser();
});

afterAll(async () => {
  await browser?.close();
  await served?.close();
});

async function open(hash = "#arm", more: Parameters<Browser["newPage"]>[0] = {}, room = ".arm-room"): Promise<void> {
  await page?.close();
  page = await browser.newPage({ viewport, reducedMotion: "reduce", ...more });
  complaints = watch(page, served.address);
  await page.goto(`${served.address}/${hash}`);
  await page.waitForSelector(room);
}

async function set(field: string, written: string): Promise<void> {
  await page.fill(field, written);
  await page.press(field, "Enter");
}

describe("the room", () => {
  it("opens from the way in by its own tab, and the way back leads there again", async () => {
    await open("#way-in", {}, ".way-in");
    expect(await page.$(".arm-room")).toBeNull();
    await page.click("nav >> text=Arm");
    // each room first writes its place into the address
    await page.waitForURL(/#arm\/payload\/1$/);
    await page.goBack();
    await page.waitForURL(/#way-in\/in\/[\d.]+mm$/);
    await page.goForward();
    await page.waitForURL(/#arm\/payload\/1$/);
    await payload();
    expect(complaints).toEqual({ errors: [], foreign: [] });
  });

  it("draws as many vertebrae, sections and holes as the arm has, to one scale along and across", async () => {
    const { arm } = served.job;
    expect(await page.$$eval("[data-test^=part-]", (all) => all.length)).toBe(arm.sections.length);
    const path = (await page.getAttribute(".whole-arm .discs", "d")) ?? "";
    const vertebrae = arm.sections.reduce((sum, section) => sum + section.spans, 1);
    expect(path.match(/M/g)?.length).toBe(vertebrae);
    expect(await page.$$eval(".cross-section .hole", (all) => all.length)).toBe(9);
    expect(await page.$$eval(".cross-section .hole.own", (all) => all.length)).toBe(3);
    // measured on the picture: the vertebrae's outer diameter against the section's length
    for (const drawing of [".whole-arm", ".section-side"]) {
      const corners = [...((await page.getAttribute(`${drawing} .discs`, "d")) ?? "").matchAll(/M([\d.]+),([\d.]+)H([\d.]+)V([\d.]+)/g)];
      const [left, up, , down] = corners[0]!.slice(1).map(Number) as [number, number, number, number];
      const next = Number(corners[1]![1]);
      const after = Number(corners[2]![1]);
      const section = arm.sections[0]!;
      // whole pixels to a tenth: the pitch is ten pixels and more
      expect((after - next) / (down - up) / (section.pitch / section.outerDiameter)).toBeCloseTo(1, 1);
      expect(next).toBeGreaterThan(left);
    }
  });

  it("tells the webs as they are by hand: rods of 1 mm at 4 mm, a channel of 5 mm, holes of 0.8 mm at 6.3 mm, a rim of 16 mm", async () => {
    const webs = await text("webs");
    // channel 2.5 to rod 3.5; cable 6.7 to the rim at 8; rod 4.5 to cable 5.9 on one line
    expect(webs).toMatch(/channel to rod\s*1\.00/);
    expect(webs).toMatch(/cable to rim\s*1\.30/);
    expect(webs).toMatch(/rod to cable\s*1\.40/);
  });

  it("goes through its sections by keys and keeps the place in the address", async () => {
    await page.focus("[data-test=part-1]");
    await page.keyboard.press("ArrowRight");
    await page.keyboard.press("ArrowRight");
    await page.waitForSelector("[data-test=part-3][aria-pressed=true]");
    expect(await page.evaluate(() => document.activeElement?.getAttribute("data-test"))).toBe("part-3");
    expect(await page.$$eval(".cross-section .hole", (all) => all.length)).toBe(3);
    await page.click("#maps-rest");
    await page.waitForTimeout(300);
    expect(page.url()).toMatch(/#arm\/rest\/3$/);
    const address = page.url();
    await page.goto("about:blank");
    await page.goto(address);
    await page.waitForSelector("[data-test=map-rest]");
    expect(await page.getAttribute("[data-test=part-3]", "aria-pressed")).toBe("true");
  });

  it("holds everything within its place at the sizes people use, in both lights, and cuts no text off", async () => {
    for (const colorScheme of ["light", "dark"] as const) {
      await open("#arm/payload/1", { colorScheme });
      await payload();
      for (const size of [viewport, { width: 1920, height: 1080 }, { width: 1024, height: 768 }]) {
        await page.setViewportSize(size);
        await page.waitForTimeout(250);
        const wrong = await page.evaluate(() => {
          const boxes = [".top", ".arm-drawing", ".arm-maps", ".panel"].map((name) => ({
            name,
            box: (document.querySelector(name) as Element).getBoundingClientRect(),
          }));
          const outside = boxes.filter(({ box }) => box.right > innerWidth + 0.5 || box.bottom > innerHeight + 0.5).map(({ name }) => name);
          const over = boxes.flatMap((a, i) =>
            boxes
              .slice(i + 1)
              .filter(
                (b) =>
                  Math.min(a.box.right, b.box.right) > Math.max(a.box.left, b.box.left) + 0.5 &&
                  Math.min(a.box.bottom, b.box.bottom) > Math.max(a.box.top, b.box.top) + 0.5,
              )
              .map((b) => `${a.name} ${b.name}`),
          );
          const cut = [
            ...document.querySelectorAll(".readout, .webs button, .arm-head *, .maps-head *, .asking, .field label, .map-head h3"),
          ]
            .filter(
              (one) =>
                (one.scrollWidth > one.clientWidth + 1 || one.scrollHeight > one.clientHeight + 4) &&
                getComputedStyle(one).display !== "inline",
            )
            .map((one) => `${one.className}: ${one.textContent}`);
          const tall = [...document.querySelectorAll(".map-host")].map((one) => one.clientHeight).filter((height) => height < 60);
          return { outside, over, cut, tall };
        });
        expect({ colorScheme, size, ...wrong }).toEqual({ colorScheme, size, outside: [], over: [], cut: [], tall: [] });
      }
    }
  });
});

describe("the maps", () => {
  it("are what the command line says, place by place", async () => {
    await open();
    await payload();
    const length = served.job.arm.sections.reduce((sum, one) => sum + one.spans * one.pitch, served.job.arm.tool.length);
    const { out } = await call(["capacity", armFile, "--out-length", `${length} m,${length / 2} m`, "--direction", "0,0,-1", "--json"]);
    const answer = JSON.parse(out) as CapacityAnswer;
    await page.click("text=As a table");
    const rows = await page.$$eval(".map-table", (tables) =>
      tables.map((table) => [...table.querySelectorAll("tbody tr")].map((row) => [...row.children].map((cell) => cell.textContent ?? ""))),
    );
    const byLength = rows[1] ?? [];
    const [whole, half] = answer.points;
    expect(byLength.length).toBe(13);
    // engines differ in the last bits, the page tells tenths
    expect(Math.abs(Number.parseFloat(byLength.at(-1)?.[1] ?? "") - (whole?.payloadN as number))).toBeLessThan(0.06);
    const middle = byLength.find((row) => Math.abs(Number.parseFloat(row[0] ?? "") - 500 * length) < 0.06);
    expect(Math.abs(Number.parseFloat(middle?.[1] ?? "") - (half?.payloadN as number))).toBeLessThan(0.06);
    expect(byLength.at(-1)?.[3]).toContain(`section ${whole?.section}`);
    await page.click("text=As a table");
    expect(complaints).toEqual({ errors: [], foreign: [] });
  });

  it("are gone through by keys; each point tells its load and the first limit it meets", async () => {
    const body = "[data-test=map-length] .map-body";
    await page.focus(body);
    await page.keyboard.press("End");
    const whole = await text("reading-length");
    expect(whole).toMatch(/out: [\d.]+\s*N \(\d+\s*g\), then (joint|cable|a rod|it loses)/);
    await page.keyboard.press("Home");
    const short = await text("reading-length");
    expect(amount(short, "mm")).toBeLessThan(amount(whole, "mm"));
    expect(await page.getAttribute(body, "aria-valuetext")).toBe(short);
    // where the limit is met is shown on the drawing: this short end's joint lies towards the tip
    const joint = /joint (\d+)/.exec(short)?.[1];
    if (joint !== undefined) {
      const line = Number(/^M([\d.]+)/.exec((await page.getAttribute("[data-test=limit-line]", "d")) ?? "")?.[1]);
      const corners = [...((await page.getAttribute(".whole-arm .discs", "d")) ?? "").matchAll(/M([\d.]+),[\d.]+H([\d.]+)/g)];
      expect(line).toBeGreaterThan(Number(corners[Number(joint) - 1]?.[2]) - 0.2);
      expect(line).toBeLessThan(Number(corners[Number(joint)]?.[1]) + 0.2);
    }
    // the direction map ends with the two ways along the arm
    await page.focus("[data-test=map-direction] .map-body");
    await page.keyboard.press("End");
    expect(await text("reading-direction")).toContain("Inwards, along the arm");
    expect(await text("limits")).toMatch(/stop of a joint/);
  });

  it("come bit by bit; the old ones are told as old until then", async () => {
    const seen = page.evaluate(
      () =>
        new Promise<string[]>((resolve) => {
          const states: string[] = [];
          const observer = new MutationObserver(() => {
            const map = document.querySelector("[data-test=map-direction]");
            const now = `${map?.getAttribute("data-state")} ${map?.textContent?.includes("Of the old numbers")}`;
            if (states.at(-1) !== now) states.push(now);
            if (states.length > 2 && now.startsWith("done")) {
              observer.disconnect();
              resolve(states);
            }
          });
          observer.observe(document.body, { subtree: true, childList: true, attributes: true, characterData: true });
        }),
    );
    await set("#field-sections-backbone-diameter", "1.15 mm");
    const states = await seen;
    expect(states.filter((one) => one.startsWith("old"))).toEqual(["old true"]);
    expect(states).toContain("drawing false");
    expect(states.at(-1)).toBe("done false");
    await payload();
    await page.click("text=Undo");
    await payload();
  });

  it("stop when they are told to, say that they are not complete, and go on", async () => {
    await page.evaluate(() => {
      const observer = new MutationObserver(() => {
        const stop = [...document.querySelectorAll("button")].find((one) => one.textContent === "Stop");
        if (stop === undefined) return;
        observer.disconnect();
        stop.click();
      });
      observer.observe(document.body, { subtree: true, childList: true });
    });
    await set("#field-sections-cables-pretension", "7 N");
    await page.waitForSelector("text=Stopped; what is drawn is not complete.");
    await page.waitForTimeout(600);
    expect(await state("pretension")).not.toBe("done");
    await page.click("text=Go on");
    await payload();
    await page.click("text=Undo");
    await payload();
  });

  it("tell the sag, the swing and the broken cables", async () => {
    await page.click("#maps-rest");
    await drawn("rest", "twist", "swing");
    expect(amount(await text("reading-rest"), "mm of it down")).toBeGreaterThan(0);
    expect(await text("reading-swing")).toMatch(/first swing [\d.]+\s*Hz, second [\d.]+\s*Hz\. Settles in/);
    await page.click("#maps-broken");
    await drawn("broken", "pull");
    expect(await text("reading-broken")).toMatch(/^Cable 1 \(section 1\) breaks: the tool point moves/);
    await page.focus("[data-test=map-broken] .map-body");
    await page.keyboard.press("End");
    expect(await text("reading-broken")).toContain("Cable 9 (section 3) breaks");
    expect(await text("power-lost")).toContain("Power lost, drives hold: the tool point stays where it is.");
    await page.click("#maps-payload");
  });

  it("tell what a stalled drive does while a section is sent down, as the command line does", async () => {
    await page.click("#maps-stalled");
    await drawn("stalled", "stalled-pull");
    // begins at the section that is sent: the last one
    expect(await text("reading-stalled")).toMatch(/^Drive 7 \(section 3\) stalls: the tool point ends [\d.]+\s*mm from where it was sent/);
    expect(await text("reading-stalled-pull")).toMatch(
      /it is left with [\d.]+\s*N.*stored: [\d.]+\s*mJ in the cables, [\d.]+\s*mJ in rods/,
    );
    const path = async (look: string) => (await page.getAttribute(`[data-test=shape-${look}]`, "d")) ?? "";
    const { arm } = served.job;
    const vertebrae = arm.sections.reduce((sum, section) => sum + section.spans, 1);
    for (const look of ["before", "sent", "stalled"]) expect((await path(look)).match(/[ML]/g)?.length).toBe(vertebrae);
    const shape = await path("stalled");
    await page.focus("[data-test=map-stalled] .map-body");
    await page.keyboard.press("Home");
    expect(await text("reading-stalled-pull")).toContain("Drive 1 (section 1)");
    expect(await page.inputValue("[data-test=stalled-pick]")).toBe("0");
    expect(await path("stalled")).not.toBe(shape);
    await page.keyboard.press("End");
    const astray = amount(await text("reading-stalled"), "mm from where");
    // sent twice as far, the drives that go leave the one that stalls further behind
    await set("#ask-sent", "40 deg");
    await drawn("stalled");
    expect(amount(await text("reading-stalled"), "mm from where")).toBeGreaterThan(1.5 * astray);
    await set("#ask-sent", "-3 deg");
    await page.waitForSelector("#ask-sent-words");
    expect(await page.textContent("#ask-sent-words")).toContain("above 0");
    await set("#ask-sent", "20 deg");
    await drawn("stalled");
    await page.click("text=As a table");
    expect(await page.$$eval(".map-table tbody tr", (rows) => rows.length)).toBe(9);
    await page.click("text=As a table");
    await page.click("#maps-payload");
  });
});

describe("a changed number", () => {
  it("changes drawing and map, marks the arm as not the file's, and is put back", async () => {
    await open();
    await payload();
    const before = { load: amount(await text("reading-length"), "N"), webs: await text("webs") };
    expect(await page.$("[data-test=unchanged]")).not.toBeNull();
    await set("#field-sections-backbone-diameter", "1.2 mm");
    await page.waitForSelector("[data-test=changed]");
    await payload();
    // thicker rods by a fifth: twice the stiffness, and less left between rod and channel
    expect(amount(await text("reading-length"), "N")).toBeGreaterThan(1.2 * before.load);
    expect(await text("webs")).toMatch(/channel to rod\s*0\.90/);
    expect(await text("not-the-file")).toContain("not the file's");
    expect(await text("chip")).toContain("old numbers");
    await page.click("text=as in the file: 1.0 mm");
    await page.waitForSelector("[data-test=unchanged]");
    await payload();
    expect(amount(await text("reading-length"), "N")).toBe(before.load);
    expect(await text("webs")).toBe(before.webs);
    expect(await page.inputValue("#field-sections-backbone-diameter")).toBe("1.0 mm");
    expect(await page.$("[data-test=not-the-file]")).toBeNull();
    expect(complaints.errors).toEqual([]);
  });

  it("that was left out of the file can be given, and is left out again", async () => {
    const field = "#field-sections-effective-length";
    expect(await page.getAttribute(field, "placeholder")).toBe("the hinge gap");
    await set(field, "4.2 mm");
    await page.waitForSelector("[data-test=changed]");
    await set(field, "");
    await page.waitForSelector("[data-test=unchanged]");
    expect(await page.inputValue(field)).toBe("");
  });

  it("many of them go back at once, and undo brings them again", async () => {
    await set("#field-sections-spans", "8");
    await page.waitForFunction(() => document.querySelector("[data-test=part-1]")?.getAttribute("aria-label")?.includes("8 vertebrae"));
    await set("#field-tool-mass", "0.1 lb");
    await page.waitForFunction(() => document.body.textContent?.includes("45 g"));
    await page.click("button:text-is('As in the file')");
    await page.waitForSelector("[data-test=unchanged]");
    expect(await page.inputValue("#field-sections-spans")).toBe("7");
    await page.click("text=Undo");
    await page.waitForSelector("[data-test=changed]");
    expect(await page.inputValue("#field-sections-spans")).toBe("8");
    await page.click("button:text-is('As in the file')");
    await page.waitForSelector("[data-test=unchanged]");
  });

  it("steps by arrow keys, keeps its unit and the focus", async () => {
    await page.focus("#field-sections-cables-pretension");
    await page.keyboard.press("ArrowUp");
    await page.keyboard.press("ArrowUp");
    await page.waitForSelector("[data-test=changed]");
    expect(await page.inputValue("#field-sections-cables-pretension")).toBe("6.4 N");
    expect(await page.evaluate(() => document.activeElement?.id)).toBe("field-sections-cables-pretension");
    await page.keyboard.press("ArrowDown");
    await page.keyboard.press("ArrowDown");
    await page.waitForSelector("[data-test=unchanged]");
  });

  it("that cannot be is refused at its field in the words of the arm's check, others stay and can be changed meanwhile", async () => {
    await set("#field-sections-cables-circle-radius", "7.7 mm");
    const words = await page.waitForSelector("#field-sections-cables-circle-radius-words");
    // rim at 8 mm, hole of 0.8 mm at 7.7 mm
    expect(await words.textContent()).toMatch(/cable 1 \(section 1\) and the rim leave a web of -0\.10 mm\. Move or shrink them/);
    expect(await page.getAttribute("#field-sections-cables-circle-radius", "aria-invalid")).toBe("true");
    expect(await page.$("[data-test=unchanged]")).not.toBeNull();
    await set("#field-sections-joint-limit", "-3 deg");
    expect(await (await page.waitForSelector("#field-sections-joint-limit-words")).textContent()).toContain("-3 deg");
    await set("#field-tool-mass", "25 g");
    await page.waitForSelector("[data-test=changed]");
    expect(await page.$("#field-sections-cables-circle-radius-words")).not.toBeNull();
    await page.focus("#field-sections-cables-circle-radius");
    await page.keyboard.press("Escape");
    expect(await page.$("#field-sections-cables-circle-radius-words")).toBeNull();
    expect(await page.inputValue("#field-sections-cables-circle-radius")).toBe("6.3 mm");
    await page.click("button:text-is('As in the file')");
    await page.waitForSelector("[data-test=unchanged]");
    expect(await page.$("#field-sections-joint-limit-words")).toBeNull();
    expect(await page.inputValue("#field-sections-joint-limit")).toBe("10 deg");
  });

  it("of the layout: one rod on the axis needs the channel gone, and two come back with a spacing", async () => {
    await page.selectOption("#field-sections-backbone-layout", "single");
    const words = await page.waitForSelector("#field-sections-backbone-layout-words");
    expect(await words.textContent()).toMatch(/the working channel and rod 1 leave a web of/);
    await set("#field-sections-channel", "0 mm");
    await page.waitForSelector("[data-test=changed]");
    await page.selectOption("#field-sections-backbone-layout", "twin");
    await page.selectOption("#field-sections-backbone-layout", "single");
    await page.waitForFunction(() => document.querySelector("#field-sections-backbone-spacing") === null);
    expect(await page.$("#field-sections-backbone-layout-words")).toBeNull();
    expect(await page.$$eval(".cross-section .rod", (all) => all.length)).toBe(1);
    await page.selectOption("#field-sections-backbone-layout", "twin");
    await page.waitForSelector("#field-sections-backbone-spacing");
    // half-way between the axis and the holes' inner edge at 5.9 mm, to both sides
    expect(await page.inputValue("#field-sections-backbone-spacing")).toBe("5.9 mm");
    await page.click("button:text-is('As in the file')");
    await page.waitForSelector("[data-test=unchanged]");
  });

  it("of one section alone leaves the others as they are, and put back it is the file's arm again", async () => {
    await page.click("[data-test=part-2]");
    await page.click("text=section 2 alone");
    await set("#field-sections-1-spans", "5");
    await page.waitForSelector("[data-test=part-2][aria-label*='5 vertebrae']");
    expect(await page.getAttribute("[data-test=part-1]", "aria-label")).toContain("7 vertebrae");
    expect(await page.getAttribute("[data-test=part-3]", "aria-label")).toContain("7 vertebrae");
    // among the numbers of all sections it stands apart now, told from the file's
    await page.click("text=All sections");
    expect(await page.inputValue("#field-sections-1-spans")).toBe("5");
    expect(await page.inputValue("#field-sections-0-spans")).toBe("7");
    await page.click("text=as in the file: 7");
    await page.waitForSelector("[data-test=unchanged]");
    expect(await page.inputValue("#field-sections-spans")).toBe("7");
    await page.click("[data-test=part-1]");
  });

  it("is not planned in this room, and is when the way in asks for it", async () => {
    await set("#field-tool-mass", "24 g");
    await page.waitForSelector("[data-test=changed]");
    await page.click("nav >> text=Way in");
    await page.waitForSelector("[data-test=stale]");
    expect(await page.$("[data-test=planning]")).toBeNull();
    await page.click("nav >> text=Arm");
    await page.click("button:text-is('As in the file')");
    await page.waitForSelector("[data-test=unchanged]");
    expect(await text("chip")).not.toContain("old numbers");
  });
});

describe("the question", () => {
  it("of a way that the tool point may go ends loads there; one that is no length is refused at its field", async () => {
    await open();
    await payload();
    const free = amount(await text("reading-length"), "N");
    await set("#ask-sag", "5");
    expect(await (await page.waitForSelector("#ask-sag-words")).textContent()).toMatch(/5/);
    await set("#ask-sag", "5 mm");
    await page.waitForSelector("#ask-sag-words", { state: "detached" });
    await payload();
    const tight = await text("reading-length");
    expect(amount(tight, "N")).toBeLessThan(free);
    expect(tight).toContain("the tool point has gone as far as it may");
    expect(amount(tight, "mm, ") || amount(tight.split("moved")[1] ?? "", "mm")).toBeLessThanOrEqual(5);
  });

  it("of an arm that hangs is told by the arm's own axes, and carries more lengthwise than level", async () => {
    await page.selectOption("#ask-lies", "hanging");
    await set("#ask-sag", "");
    await payload();
    expect(await page.$$eval(".load-name", (all) => all.map((one) => one.textContent))).toEqual(["y", "\u2212x", "\u2212y", "x"]);
    await page.selectOption("#ask-load", "outwards");
    await payload();
    expect(amount(await text("reading-length"), "N")).toBeGreaterThan(100);
  });
});

describe("one backbone against two", () => {
  it("tells twist and sag of this arm with other backbones, under a load that can be given", async () => {
    await open("#arm/backbones/1");
    await drawn("backbone-twist", "backbone-sag");
    const bare = await text("reading-backbone-sag");
    expect(bare).toMatch(/out: as it is [\d.]+° of twist, [\d.]+\s*mm of sag; one rod, as thick/);
    expect(await text("backbones")).toContain("A rod on the axis takes the place of the working channel.");
    await set("#ask-pull", "half a kilo");
    expect(await (await page.waitForSelector("#ask-pull-words")).textContent()).toContain("half a kilo");
    await page.selectOption("#ask-load", "left");
    await set("#ask-pull", "0.5 N");
    await page.waitForSelector("#ask-pull-words", { state: "detached" });
    await drawn("backbone-twist", "backbone-sag");
    expect(amount(await text("reading-backbone-sag"), "mm of sag")).toBeGreaterThan(amount(bare, "mm of sag"));
  });

  it("lies as planned where there is a plan, and is told depth by depth", async () => {
    await page.selectOption("#ask-lies", "planned");
    await drawn("backbone-twist", "backbone-sag");
    const deepest = Math.max(...served.result.wayIn.map((one) => one.depth));
    expect(amount(await text("reading-backbone-sag"), "mm out")).toBeCloseTo(1000 * deepest, 0);
    expect(complaints.errors).toEqual([]);
  });
});

describe("the units", () => {
  it("are inches on request, in drawing, maps and words", async () => {
    await open("#arm/rest/1");
    await drawn("rest", "twist", "swing");
    const mm = amount(await text("reading-rest"), "mm out");
    await page.click("text=inch");
    expect(amount(await text("reading-rest"), "in out")).toBeCloseTo(mm / 25.4, 2);
    expect(await text("webs")).toMatch(/channel to rod\s*0\.039/);
    expect(await page.textContent("[data-test=map-rest] .axis-across")).toBe("length out, in");
    await page.click("button:text-is('mm')");
  });
});

describe("a job whose machine is flooded", () => {
  it("has its maps in the fluid, and in air on request", async () => {
    await page.close();
    page = await browser.newPage({ viewport, reducedMotion: "reduce" });
    await page.route("**/files/job.yaml", async (route) => {
      const whole = new TextDecoder().decode(served.files.get("job.yaml"));
      await route.fulfill({ body: `${whole}conditions:\n  fluid:\n    density: 1000 kg/m3\n` });
    });
    await page.goto(`${served.address}/#arm/rest/1`);
    await drawn("rest", "twist", "swing");
    expect(await text("maps-state")).toContain("in the fluid of the job");
    const wet = amount(await text("reading-rest"), "mm, ");
    await page.selectOption("#ask-within", "air");
    await drawn("rest", "twist", "swing");
    expect(await text("maps-state")).toContain("in air");
    // water lifts what hangs in it
    expect(amount(await text("reading-rest"), "mm, ")).toBeGreaterThan(1.2 * wet);
  });
});

describe("changes that were not saved", () => {
  it("are offered in this room too at the next visit", async () => {
    await page.close();
    const visitor = await browser.newContext({ viewport });
    page = await visitor.newPage();
    await page.goto(`${served.address}/#arm`);
    await page.waitForSelector(".arm-room");
    await set("#field-tool-mass", "24 g");
    await page.waitForSelector("[data-test=changed]");
    await page.reload();
    await page.waitForSelector("[data-test=kept]");
    expect(await page.$("[data-test=unchanged]")).not.toBeNull();
    await page.click("text=Bring them back");
    await page.waitForSelector("[data-test=changed]");
    expect(await page.inputValue("#field-tool-mass")).toBe("24 g");
    await visitor.close();
    page = await browser.newPage();
  });
});

describe("when something is amiss", () => {
  it("a worker of the maps that died is told of, what is drawn stays, and it starts again", async () => {
    await open();
    await payload();
    const workers = page.workers();
    expect(workers.length).toBe(2);
    const reading = await text("reading-length");
    await set("#field-sections-cables-pretension", "9 N");
    await page.waitForSelector("[data-test=maps-state] progress");
    // the second is the one that draws the maps
    await workers[1]?.evaluate(() => {
      setTimeout(() => {
        throw new Error("out of memory");
      });
    });
    await page.waitForSelector("text=The maps stopped by themselves");
    expect(await text("maps-state")).toContain("out of memory");
    await page.click("text=Start again");
    await payload();
    expect(await text("reading-length")).not.toBe(reading);
  });
});
