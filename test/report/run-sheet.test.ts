import { parseHTML } from "linkedom";
import { describe, expect, test } from "vitest";
import { createArm } from "../../src/arm/index.ts";
import type { Job } from "../../src/job/index.ts";
import { driveTableOf } from "../../src/report/drive-table.ts";
import { type RunSheetOptions, runSheetHtml } from "../../src/report/index.ts";
import { listHolds } from "../../src/report/list-holds.ts";
import { depths, makeBlocked, makeJob, makePlan, sharp } from "./made-plan.ts";

const job = makeJob();
const timed: Job = {
  ...job,
  conditions: { ...job.conditions, feedRate: 2e-3 },
  arm: { ...job.arm, drives: { spool: { radius: 10e-3 }, motor: { counts: 1024 } } },
};
const plan = makePlan(job);
const text = (html: string): string => parseHTML(html).document.body.textContent!.replace(/\s+/g, " ");

function sheet(one = timed, result = plan, options: RunSheetOptions = { date: "2031-04-17" }) {
  return runSheetHtml(one, { ...result, verdict: { ...result.verdict, answer: "go with conditions" } }, options);
}

describe("holds", () => {
  const arm = createArm(timed.arm);
  const table = driveTableOf(timed, plan, arm);
  const holds = listHolds(timed, arm, plan, table);

  test("in the order they are come to: entry first, the target between the two ways, the port last", () => {
    const inward = holds.filter(({ way }) => way === "in");
    const outward = holds.filter(({ way }) => way === "out");
    expect(holds).toEqual([...inward, ...outward]);
    expect(inward[0]!.record.depth).toBe(plan.wayIn[0]!.depth);
    expect(inward[0]!.why[0]).toBe("the tool enters");
    expect(inward.at(-1)!.record.depth).toBe(depths.at(-1));
    expect(inward.at(-1)!.why.join()).toContain("at the target");
    expect(outward[0]!.record.depth).toBe(depths.at(-1));
    expect(outward.at(-1)!.record.depth).toBe(plan.wayOut.at(-1)!.depth);
    for (const list of [inward, [...outward].reverse()])
      for (let k = 1; k < list.length; k++) expect(list[k]!.record.depth).toBeGreaterThan(list[k - 1]!.record.depth);
  });

  test("each carries the drives' row of its own way and depth", () => {
    for (const { way, record, row } of holds) expect([row.way, row.depth]).toEqual([way, record.depth]);
  });

  test("no two for one depth of one way; people for the port", () => {
    const keys = holds.map(({ way, record }) => `${way} ${record.depth}`);
    expect(new Set(keys).size).toBe(keys.length);
    expect(holds[0]!.together).toBe(true);
    expect(holds.at(-1)!.together).toBe(true);
  });
});

describe("the sheet", () => {
  test("the same job, plan and options give the same text; nothing runs, nothing is fetched", () => {
    const html = sheet();
    expect(sheet()).toBe(html);
    expect(html).not.toMatch(/<script|https?:\/\/(?!www\.w3\.org)|<link|<img/);
    expect(html).toContain("default-src 'none'");
  });

  test("names come through as text", () => {
    const html = sheet();
    expect(html).not.toContain("<script>alert");
    if (job.name.includes(sharp)) expect(text(html)).toContain(sharp);
  });

  test("has every part: state, cautions, turning back, times, steps, tally, holds, signatures", () => {
    const document = parseHTML(sheet()).document;
    const heads = [...document.querySelectorAll("h2")].map((one) => one.textContent);
    expect(heads).toEqual(["Before anybody touches the arm", "When to stop, and when to turn back", "How long it takes", "Steps", "What goes in and comes out", "Signed"]); // biome-ignore format: one list
    const all = text(sheet());
    for (const words of ["Isolated and locked out", "Tensioned cables" in plan.verdict ? "" : "Operator", "2 people", "go back one hold"])
      expect(all).toContain(words);
    const holds = document.querySelectorAll(".hold").length;
    expect(holds).toBe(listHolds(timed, createArm(timed.arm), plan, driveTableOf(timed, plan)).length);
    // side and top view of each, and the walls they share
    expect(document.querySelectorAll(".hold svg").length).toBe(2 * holds);
  });

  test("a hold's table: every cable by its number through the whole arm, its turns and pull as the drives' table has them", () => {
    const arm = createArm(timed.arm);
    const table = driveTableOf(timed, plan, arm);
    const holds = listHolds(timed, arm, plan, table);
    const tables = [...parseHTML(sheet()).document.querySelectorAll(".hold")];
    holds.forEach(({ row }, k) => {
      const lines = [...tables[k]!.querySelectorAll(".tensions tbody tr")].map((line) =>
        [...line.children].map((cell) => cell.textContent),
      );
      expect(lines.map(([cable]) => cable)).toEqual([1, 2, 3, 4, 5, 6].map((c) => `${c} (${c < 4 ? 1 : 2})`));
      lines.forEach(([, turns, pull], c) => {
        expect(Math.abs(Number(turns!.replace("\u2212", "-")) - row.turns[c]!)).toBeLessThan(6e-4);
        expect(Math.abs(Number(pull) - row.tension[c]!)).toBeLessThan(0.06);
      });
    });
  });

  test("times: length over feed rate each way", () => {
    const way = depths.at(-1)! - depths[0]!;
    expect(text(sheet())).toMatch(new RegExp(`Moving, way in ?${Math.round(way / 2e-3)} s`));
    expect(text(sheet(job))).toContain("the job gives no feed-rate");
  });

  test("a plan that does not go, or does not come back, gives no steps", () => {
    const bad = runSheetHtml(job, makeBlocked(job), {});
    for (const html of [bad, sheet(timed, { ...plan, wayOut: [] })]) {
      expect(text(html)).toContain("Not for use");
      expect(html).not.toContain('class="hold"');
    }
  });
});
