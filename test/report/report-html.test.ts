import { parseHTML } from "linkedom";
import { describe, expect, test } from "vitest";
import {
  compareBackbones,
  createBackboneState,
  createBackboneWork,
  createSheetState,
  createSheetWork,
  readSheet,
  stepSheet,
} from "../../src/capacity/index.ts";
import { createPlanBackbones, createPlanSheet, reportHtml } from "../../src/report/index.ts";
import { depths, makeBlocked, makeJob, makePlan, sharp } from "./made-plan.ts";

const job = makeJob();
const plan = makePlan(job);

function read(text: string): Document {
  return parseHTML(text).document as unknown as Document;
}

function texts(within: Document | Element, selector: string): string[] {
  return [...within.querySelectorAll(selector)].map((element) => (element.textContent ?? "").replaceAll("\u00a0", " ").trim());
}

function section(page: Document, heading: string): Element {
  const found = [...page.querySelectorAll("section")].find((element) => element.querySelector("h2")?.textContent === heading);
  if (found === undefined) throw new Error(`no section ${heading}`);
  return found;
}

/** Names of the elements in order, opened and closed as an HTML reader without any forgiveness would see them. */
function checkNesting(text: string): void {
  const voids = new Set(["meta", "br", "img", "link", "input", "hr"]);
  const open: string[] = [];
  const bare = text.replace(/<style>[\s\S]*?<\/style>/g, "").replace(/^<!DOCTYPE html>/i, "");
  for (const [whole, closing, name, rest] of bare.matchAll(/<(\/?)([a-zA-Z][\w-]*)((?:\s+[\w:-]+(?:="[^"]*")?)*)\s*\/?>/g)) {
    if (closing === "/") expect(open.pop(), whole).toBe(name);
    else if (!voids.has(name!) && !whole.endsWith("/>")) open.push(name!);
    expect(rest).not.toMatch(/\son\w+=/);
  }
  expect(open).toEqual([]);
  // whatever begins like a tag was one
  expect(bare.match(/</g)!.length).toBe([...bare.matchAll(/<(\/?)([a-zA-Z][\w-]*)((?:\s+[\w:-]+(?:="[^"]*")?)*)\s*\/?>/g)].length);
}

describe("the report", () => {
  const text = reportHtml(job, plan);
  const page = read(text);

  test("is one well-formed file that fetches nothing and runs nothing", () => {
    checkNesting(text);
    expect(page.querySelectorAll("script, iframe, object, embed, link, img, form").length).toBe(0);
    expect(text).not.toMatch(/\b(?:src|href|action)\s*=/i);
    expect(text).not.toMatch(/url\(|@import/i);
    expect(text.match(/https?:\/\/[^"<\s]*/g)!.every((address) => address === "http://www.w3.org/2000/svg")).toBe(true);
    expect(page.querySelector('meta[http-equiv="Content-Security-Policy"]')!.getAttribute("content")).toContain("default-src 'none'");
  });

  test("is the same text for the same input, and states a date only when it is given one", () => {
    expect(reportHtml(makeJob(), makePlan())).toBe(text);
    expect(text).not.toMatch(/\b20\d\d-\d\d-\d\d\b/);
    expect(reportHtml(job, plan, { date: "2031-04-17" })).toContain("2031-04-17");
  });

  test("says the verdict in words before anything else, and that all is simulated and nothing was fitted", () => {
    const order = texts(page, "h1, h2, .answer");
    expect(order.slice(0, 3)).toEqual([job.name, "Go, with conditions", "Conditions"]);
    expect(texts(page, ".says")).toEqual([plan.verdict.says]);
    expect(texts(page, ".simulated")[0]).toContain("not measured");
    expect(section(page, "The arm").textContent).toContain("This arm was never fitted");
    expect(section(page, "The arm").textContent).toContain("bare");
  });

  test("an arm with a hose is not called bare", () => {
    const hose = { name: "lead", bendingStiffness: 1e-4, torsionStiffness: 1e-4, massPerLength: 0.01 };
    const dressed = { ...job, arm: { ...job.arm, sections: job.arm.sections.map((s) => ({ ...s, hoses: [hose] })) } };
    const arm = section(read(reportHtml(dressed, plan)), "The arm");
    expect(arm.textContent).not.toContain("bare");
    expect(arm.textContent).toContain("lead");
  });

  test("shows every margin, worst first, with what was found, what is allowed, use, place, state and gains", () => {
    const rows = [...page.querySelectorAll("table.margins tbody tr")].map((row) => texts(row, "th, td"));
    expect(rows.map((row) => row[0])).toEqual(plan.verdict.rows.map((row) => row.title));
    // worked by hand from the made-up rows
    expect(rows[0]!.slice(1, 3)).toEqual(["? not known", "not known"]);
    expect(rows[1]!.slice(1, 3)).toEqual(["● over", "none left"]);
    expect(rows[2]!.slice(1, 5)).toEqual(["◐ close", "90 %", "1.67 mm", "at least 1.50 mm"]);
    expect(rows[3]!.slice(1, 5)).toEqual(["○ holds", "50 %", "50.00 %", "at most 100.00 %"]);
    expect(rows[4]!.slice(2, 5)).toEqual(["30 %", "17.19 deg", "at most 57.30 deg"]);
    expect(rows[5]!.slice(2, 5)).toEqual(["20 %", "200 MPa", "at most 1000 MPa"]);
    expect(rows[6]!.slice(2, 5)).toEqual(["10 %", "100.0 g", "at most 1000.0 g"]);
    rows.forEach((row, k) => expect(row[5]).toBe(plan.verdict.rows[k]!.whereSays));
    expect(rows[3]![6]).toBe(`thinner rods for ${job.name} (estimated)shorter (planned again)`);
    expect(section(page, "Margins, worst first").textContent).toContain(`about ${job.name}`);
  });

  test("tells conditions, assumptions, cautions, what was not checked, remarks, ranges, hashes and version", () => {
    const { verdict } = plan;
    for (const says of [...verdict.conditions, ...verdict.assumptions, ...verdict.cautions, ...verdict.notChecked, ...job.remarks])
      expect(texts(page, "li")).toContain(says);
    expect(texts(page, ".hash")).toEqual(job.inputs.map((input) => input.hash));
    const basis = section(page, "What this rests on");
    expect(basis.textContent).toContain("withy 0.0.0");
    expect(texts(basis, "tr").some((row) => row === "arm.tool.mass0.0450.050.055")).toBe(true);
  });

  test("tells the changes that were planned again", () => {
    expect(texts(page, "tr").filter((row) => row.includes("more pretension"))).toEqual([
      `more pretension for ${job.name}go with conditionsClearanceMargin clearance 85 %; Margin slack not known`,
    ]);
  });

  test("says once what was not checked when that is itself a condition, and marks a depth that did not come to rest", () => {
    const says = `To be settled: ${plan.verdict.notChecked.join("; ")}.`;
    const verdict = { ...plan.verdict, conditions: [says, ...plan.verdict.conditions] };
    const wayIn = plan.wayIn.map((record, k) => (k === 2 ? { ...record, settled: false } : record));
    const page = read(reportHtml(job, { ...plan, verdict, wayIn }));
    for (const one of plan.verdict.notChecked) expect(texts(page, "li").filter((line) => line.includes(one))).toEqual([one]);
    expect(texts(section(page, "Conditions"), "li")).toEqual([...plan.verdict.conditions, ...plan.verdict.notChecked]);
    // the made-up depths are 40, 70, 100 and 130 mm
    expect(texts(page, ".depths tbody th").filter((depth) => depth.includes("*"))).toEqual(["100.0*"]);
    expect(text).not.toContain("ran out of tries");
  });

  test("names the narrowest place and the sharpest bend of the route", () => {
    const route = section(page, "The route").textContent!.replaceAll("\u00a0", " ");
    // the made-up distances are least, 12 mm, at sample 20 of 40 on 130 mm; the circle's radius is 120 mm / (pi / 2) = 76.4 mm
    expect(route).toContain("free radius 12.00 mm");
    expect(route).toContain("67 mm along the route");
    expect(route).toContain("radius 76 mm");
    expect(route).toContain("130 mm");
  });

  test("every axis of every chart and picture says what and in which unit", () => {
    const charts = [...page.querySelectorAll("svg")].filter((svg) => /plot/.test(svg.getAttribute("class") ?? ""));
    expect(charts.length).toBe(10);
    for (const chart of charts) {
      const labels = ["x-axis label", "y-axis label"].map((name) => chart.querySelector(`[aria-label="${name}"]`)?.textContent ?? "");
      expect(labels[0]).toBe("depth of feed, mm");
      expect(labels[1]).toMatch(/^[a-z ]+, (mm|N|deg|%|number)$/);
    }
    const axes = texts(page, "text.axis");
    expect(axes.length).toBe(4);
    for (const axis of axes) expect(axis).toMatch(/, mm from the port$/);
    for (const bar of texts(page, "g.scale")) expect(bar).toMatch(/^[\d.]+ mm$/);
    expect(texts(page, "g.scale").length).toBe(4);
  });

  test("inches and pounds-force where they are asked for", () => {
    const inch = read(reportHtml(job, plan, { units: "inch" }));
    const labels = [...inch.querySelectorAll('[aria-label="x-axis label"]')].map((element) => element.textContent);
    expect(new Set(labels)).toEqual(new Set(["depth of feed, in"]));
    // 1.5 mm = 0.0591 in
    expect([...inch.querySelectorAll("table.margins tbody tr")].map((row) => texts(row, "th, td")[4])).toContain("at least 0.0591 in");
    for (const head of texts(inch, ".depths th")) expect(head).not.toMatch(/, mm|, N/);
  });

  test("every depth of both ways is in the tables", () => {
    const tables = [...page.querySelectorAll("table.depths")];
    expect(tables.map((element) => texts(element, "tbody tr").length)).toEqual([depths.length, depths.length]);
    const first = texts(tables[0]!.querySelector("tbody tr")!, "th, td");
    // made-up record at 40 mm: roll 0.004 rad, strongest 6 + 100 x 0.04 x 5 N, joint 20 mm on the circle, strain 0.04 %
    expect(first[0]).toBe("40.0");
    expect(first[1]).toBe("0.2");
    // vertebrae are counted from 0; the second body must not be touched
    const { asked, askedVertebra } = plan.wayIn[0]!;
    expect(first[2]).toBe(`${(1000 * asked).toFixed(2)} (${askedVertebra}, 2)`);
    expect(first[4]).toBe("26.0 (6)");
    expect(first[5]).toBe("6.0 (1)");
    expect(first[6]).toBe("15.00 (1)");
    expect(first[7]).toBe("0.04 (1)");
  });

  test("headings step down one by one; tables have captions and heads; pictures say what they show", () => {
    const levels = [...page.querySelectorAll("h1, h2, h3")].map((heading) => Number(heading.tagName[1]));
    expect(levels[0]).toBe(1);
    expect(levels.filter((level) => level === 1).length).toBe(1);
    levels.forEach((level, k) => expect(level - (levels[k - 1] ?? 0)).toBeLessThanOrEqual(1));
    for (const element of page.querySelectorAll("table")) {
      expect(element.querySelector("caption")?.textContent).toBeTruthy();
      for (const head of element.querySelectorAll("th")) expect(["row", "col"]).toContain(head.getAttribute("scope"));
    }
    for (const svg of page.querySelectorAll("figure svg")) {
      const hidden = svg.getAttribute("aria-hidden") === "true" || svg.parentElement?.closest("svg") != null;
      if (!hidden) expect(svg.getAttribute("aria-label"), svg.outerHTML.slice(0, 80)).toBeTruthy();
    }
    for (const element of page.querySelectorAll("figure")) expect(element.querySelector("figcaption")?.textContent).toBeTruthy();
    expect(page.documentElement.getAttribute("lang")).toBe("en");
  });

  test("no number slips through undefined", () => {
    expect(page.body.textContent).not.toMatch(/NaN|undefined|null|Infinity|\[object/);
    for (const path of page.querySelectorAll("path, circle, rect, text")) expect(path.outerHTML).not.toMatch(/NaN|Infinity|undefined/);
  });
});

test("markup in names comes through as text: nothing is added to the page but letters", () => {
  const other = makeJob(sharp);
  const text = reportHtml({ ...other, bodies: other.bodies.map((body) => ({ ...body, name: `${body.name} ${sharp}` })) }, makePlan(other));
  checkNesting(text);
  const page = read(text);
  const count = (document: Document): Record<string, number> => {
    const all: Record<string, number> = {};
    for (const element of document.querySelectorAll("*")) all[element.tagName] = (all[element.tagName] ?? 0) + 1;
    return all;
  };
  expect(count(page)).toEqual(count(read(reportHtml(job, plan))));
  expect(page.querySelector("h1")!.textContent).toBe(sharp);
  expect(text).not.toContain("<script>");
  expect(text.match(/<\/title>/g)!.length).toBe(1);
  expect(text.slice(0, text.indexOf("</title>"))).toContain("&lt;b&gt;");
});

describe("where there is no way through", () => {
  const blocked = makeBlocked(job);
  const text = reportHtml(job, blocked);
  const page = read(text);

  test("the report says so, why and where, and shows no arm, no chart and no table by depth", () => {
    checkNesting(text);
    expect(texts(page, ".answer")).toEqual(["No go"]);
    expect(texts(page, ".verdict li")).toEqual(blocked.verdict.reasons);
    const route = section(page, "The route");
    expect(texts(route, "table tbody tr")).toEqual([`${blocked.route.obstacles[0]!.says}7.00 mm8.00 mm(50.0, 0.0, −100.0) mm`]);
    expect(route.textContent).toContain("It is no way in");
    expect(route.textContent).toContain("No arm is drawn");
    expect(texts(page, "h2")).not.toContain("By depth");
    expect(page.querySelectorAll("table.depths").length).toBe(0);
  });

  test("a result without any curve or margin is told too", () => {
    const { curve, ...route } = blocked.route;
    expect(curve).toBeDefined();
    const empty = {
      ...blocked,
      route: { ...route, status: "not-found" as const },
      verdict: { ...blocked.verdict, rows: [], answer: "undecided" as const },
    };
    const page = read(reportHtml(job, empty));
    expect(texts(page, ".answer")).toEqual(["Undecided"]);
    expect(section(page, "The route").textContent).toContain("does not prove");
    expect(section(page, "Margins, worst first").textContent).toContain("No margin could be computed");
  });
});

test("a walk that stopped on its way, with nothing near and sags not known, is told without a wrong number", () => {
  const wayIn = plan.wayIn.slice(0, 2).map((record) => ({
    ...record,
    sag: Number.NaN,
    spare: Number.POSITIVE_INFINITY,
    leastClearance: Number.POSITIVE_INFINITY,
    sweptSpare: Number.POSITIVE_INFINITY,
    clearance: record.clearance.map(() => Number.POSITIVE_INFINITY),
    nearest: record.nearest.map(() => -1),
    askedBody: -1,
  }));
  const text = reportHtml(job, {
    ...plan,
    wayIn,
    wayOut: [],
    verdict: { ...plan.verdict, answer: "undecided", reasons: ["No balance at 80 mm."] },
  });
  checkNesting(text);
  const page = read(text);
  expect(texts(page, ".verdict li")).toEqual(["No balance at 80 mm."]);
  expect(text).not.toMatch(/NaN|Infinity|undefined/);
  const cells = texts(page.querySelector("table.depths tbody tr")!, "th, td");
  expect([cells[2], cells[3], cells[8]]).toEqual(["none near", "none near", "not known"]);
  expect(page.querySelectorAll("table.depths").length).toBe(1);
  expect(texts(page, ".lines").some((key) => key.includes("way out"))).toBe(false);
});

describe("one backbone against two", () => {
  const model = createPlanBackbones(job, plan);
  const state = createBackboneState();
  const work = createBackboneWork(model);
  while (!state.done) compareBackbones(model, state, work);
  const page = read(reportHtml(job, plan, { backbones: { model, rows: state.rows } }));

  test("is told for the straight arm and for the deepest shape, with the numbers that were found", () => {
    const found = section(page, "One backbone against two");
    checkNesting(found.outerHTML);
    expect(found.textContent).toContain("takes the place of the working channel");
    const tables = [...found.querySelectorAll("table")];
    expect(tables.map((one) => texts(one, "caption")[0])).toEqual([
      "Straight and level, 130 mm out",
      "In the bends of the deepest shape, 130 mm out",
    ]);
    for (const hold of model.holds) expect(hold.stance.exit).toBeCloseTo(0, 12);
    tables.forEach((one, hold) => {
      expect(texts(one, "tbody th")).toEqual(["as it is", "one rod, as thick", "one rod, as stiff to bend"]);
      texts(one, "tbody td:nth-child(3)").forEach((sag, k) => {
        const row = state.rows.find((r) => r.hold === hold && r.kind === (["given", "one-rod", "one-stiff-rod"] as const)[k]);
        if (sag !== "") expect(Math.abs(Number(sag) - 1e3 * row!.sag)).toBeLessThan(0.0501);
      });
    });
  });

  test("is left out where it was not asked for, and where no other backbone fits", () => {
    expect(texts(read(reportHtml(job, plan)), "h2")).not.toContain("One backbone against two");
    const bare = { model: { ...model, backbones: model.backbones.slice(0, 1) }, rows: [] };
    expect(texts(read(reportHtml(job, plan, { backbones: bare })), "h2")).not.toContain("One backbone against two");
  });
});

describe("locked in the deepest shape", () => {
  const model = createPlanSheet(job, plan)!;
  const state = createSheetState(model);
  const work = createSheetWork(model);
  while (state.stage !== "done") stepSheet(model, state, work);
  const sheet = readSheet(model, state);
  const found = section(read(reportHtml(job, plan, { sheet: { model, sheet } })), "Locked in the deepest shape");

  test("tells stiffness, swing, payload, forces on the tool and every fault, with the numbers that were found", () => {
    checkNesting(found.outerHTML);
    expect(sheet.stands).toBe(true);
    const facts = new Map([...found.querySelectorAll("table.facts tr")].map((row) => [texts(row, "th")[0]!, texts(row, "td")[0]!]));
    const along = facts.get("Tip stiffness along the tool")!;
    expect(Math.abs(Number.parseFloat(along) * (along.includes("N/mm") ? 1e3 : 1) * sheet.stiffness!.along.give - 1)).toBeLessThan(0.006);
    expect(Number.parseFloat(facts.get("First swing")!)).toBeCloseTo(sheet.swing.frequency, 1);
    // the made-up bends are more than these cables hold
    expect(sheet.payload).toMatchObject({ load: 0, bound: 0, end: "cable" });
    expect(facts.get("More that may hang from the tool")).toBe(
      `none, it is at a limit without: a cable's working load (cable ${sheet.payload!.at + 1} (section 2))`,
    );
    const tables = [...found.querySelectorAll("table.grid")];
    expect(tables).toHaveLength(6);
    tables.slice(0, 4).forEach((one, k) => {
      expect(texts(one, "tbody th").map(Number).at(-1)).toBeCloseTo(sheet.ramps[k]!.end.load, 1);
      expect(texts(one, "caption")[0]).toMatch(/^(Pressing ahead|Dragged aside)/);
    });
    const broken = tables[4]!;
    expect(texts(broken, "tbody th")).toHaveLength(8);
    texts(broken, "tbody td:nth-child(2)").forEach((moved, k) =>
      expect(Math.abs(Number(moved) - 1e3 * sheet.retention.cases.filter((c) => c.kind !== "stalled")[k]!.moved)).toBeLessThan(0.0501),
    );
    expect(texts(tables[5]!, "tbody th")).toEqual([1, 2, 3, 4, 5, 6].map((c) => `drive ${c} (section ${c < 4 ? 1 : 2})`));
  });

  test("says where the arm does not stand there without walls, and is left out where it was not asked for or did not go in", () => {
    const fallen = { ...sheet, stands: false, lock: { ...sheet.lock, status: "buckled" as const } };
    const text = section(read(reportHtml(job, plan, { sheet: { model, sheet: fallen } })), "Locked in the deepest shape").textContent;
    expect(text).toContain("does not carry itself there without the walls");
    expect(texts(read(reportHtml(job, plan)), "h2")).not.toContain("Locked in the deepest shape");
    expect(createPlanSheet(job, makeBlocked(job))).toBeUndefined();
  });
});
