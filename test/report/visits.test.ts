/** Several targets and what is seen of them, in the report. */
import { parseHTML } from "linkedom";
import { expect, test } from "vitest";
import type { Visit } from "../../src/plan/index.ts";
import { planJson, readPlanJson, reportHtml } from "../../src/report/index.ts";
import type { SightFact } from "../../src/verdict/index.ts";
import { makeJob, makePlan } from "./made-plan.ts";

const sight: SightFact = {
  place: [0.1, 0, -0.1],
  distance: 0.05,
  depth: 0.049,
  offAxis: 0.02,
  normal: [-1, 0, 0],
  tilt: 0.5,
  open: 0,
  turn: 0,
  look: { shift: 2e-3, room: 0.0321, body: -1, near: [0, 0, 0], pixel: 5e-5, footprint: 5.7e-5, worstFootprint: 6.1e-5 },
};

test("each target has its line, its pictures and its numbers; and the plan is read back as it was written", () => {
  const job = makeJob();
  const plan = makePlan(job);
  const other = { ...job.target, name: "<other> seat" };
  const { route, wayIn, wayOut, sweep, verdict } = plan;
  const visit = (target: string, written: number): Visit => ({
    target,
    written,
    choice: 0,
    choices: [
      { target, taken: true, says: `first by cost of its route; ${target} goes` },
      { target: "spare", taken: false, says: "not reached: a wall" },
    ],
    ...(written === 0 ? {} : { from: 0.07 }),
    route,
    wayIn,
    wayOut,
    sweep,
    verdict,
    sight,
    cost: { feed: 0.31, turning: 1.5 },
  });
  const whole = { ...plan, sight, visits: [visit(job.target.name, 0), visit(other.name, 1)] };
  const both = { ...job, visits: [[job.target, job.target], [other]] };
  const text = reportHtml(both, whole);
  const page = parseHTML(text).document as unknown as Document;
  const said = (page.body.textContent ?? "").replaceAll("\u00a0", " ");
  const heads = [...page.querySelectorAll("h2")].map((head) => head.textContent);
  expect(heads).toContain("The targets");
  expect(heads).toContain("What the tool sees");
  expect(heads).toContain("Target <other> seat");
  for (const what of [
    "gone on to from 70 mm of depth",
    "310 mm",
    "spare: not reached: a wall",
    "32.10 mm, 2.00 mm",
    "0.05 mm, 0.057 mm, 0.061 mm",
  ])
    expect(said).toContain(what);
  expect(said).toContain(`to ${job.target.name} and <other> seat with its load`);
  expect(planJson(readPlanJson(planJson(whole)))).toBe(planJson(whole));
});
