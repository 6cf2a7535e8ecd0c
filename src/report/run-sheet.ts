/**
 * What the operator takes to the machine: the steps with their holds, what should be seen and read there, when to turn back, and room to sign.
 * Every number is the plan's; nothing is fetched and nothing runs; it prints on A4.
 */
import { createArm } from "../arm/index.ts";
import type { UnitSystem } from "../base/index.ts";
import type { Job } from "../job/index.ts";
import type { PlanResult } from "../plan/index.ts";
import { otherConditions } from "../verdict/index.ts";
import { createStage } from "./draw-hold.ts";
import { driveTableOf } from "./drive-table.ts";
import { type Hold, listHolds } from "./list-holds.ts";
import { keepUnits, type Measures, measuresOf, say } from "./measure.ts";
import { bullets, createPage, facts, type Page, part, table, tag, writePage } from "./page.ts";
import { runSheetStyle } from "./run-sheet-style.ts";
import { tellHold } from "./tell-hold.ts";
import { machineState, settlingOf, tellTimes, tellTurnBack } from "./tell-run.ts";
import type { FilledSheet } from "./tell-sheet.ts";

export interface RunSheetOptions {
  /** printed as it is, as `2031-04-17` */
  readonly date?: string;
  readonly units?: UnitSystem;
  /** tells how long the arm swings after a stop; not told when absent */
  readonly sheet?: FilledSheet;
}

/** The same job, result and options give the same text. A plan that does not go gives a sheet without steps. */
export function runSheetHtml(job: Job, result: PlanResult, options: RunSheetOptions = {}): string {
  const measures = measuresOf(options.units ?? "metric");
  const arm = createArm(job.arm);
  const page = createPage(`Run sheet: ${result.job}`, runSheetStyle);
  const table = driveTableOf(job, result, arm);
  const holds = listHolds(job, arm, result, table);
  const goes = (result.verdict.answer === "go" || result.verdict.answer === "go with conditions") && result.wayOut.length > 0;
  const main = tag(page, "main", {}, head(page, job, result, options, measures));
  if (!goes) main.append(refuse(page, result));
  else {
    const stage = createStage(page, job, arm, result);
    const inward = holds.filter(({ way }) => way === "in");
    const outward = holds.filter(({ way }) => way === "out");
    main.append(
      stage.walls,
      part(page, "Before anybody touches the arm", ...before(page, job, result)),
      part(page, "When to stop, and when to turn back", tellTurnBack(page, job, arm, result, table, measures)),
      part(page, "How long it takes", ...tellTimes(page, job, table, holds, settlingOf(options.sheet))),
      part(page, "Steps", steps(page, job, inward, outward, measures)),
      tally(page, job),
      ...listOf(page, holds, inward, (hold, k) => tellHold(page, stage, job, arm, hold, k, measures)),
      ...listOf(page, holds, outward, (hold, k) => tellHold(page, stage, job, arm, hold, k, measures)),
      signatures(page),
    );
  }
  page.document.body.append(main);
  return writePage(page);
}

/** Begins on a new page. */
function listOf(page: Page, all: readonly Hold[], some: readonly Hold[], tell: (hold: Hold, number: number) => HTMLElement): HTMLElement[] {
  return some.length === 0 ? [] : [tag(page, "div", { class: "apart" }, ...some.map((hold) => tell(hold, all.indexOf(hold) + 1)))];
}

function head(page: Page, job: Job, result: PlanResult, options: RunSheetOptions, measures: Measures): HTMLElement {
  const last = result.wayIn[result.wayIn.length - 1];
  return tag(
    page,
    "header",
    {},
    tag(page, "h1", {}, result.job),
    tag(
      page,
      "p",
      {},
      `Run sheet for the operator${options.date === undefined ? "" : `, ${options.date}`}. Simulated numbers; it advises, the owner's engineer decides.`,
    ),
    facts(page, "", [
      ["Arm, tool", `${result.arm}, ${job.arm.tool.name}`],
      ["From, to", `${job.port.name}, ${job.target.name} (${job.target.kind})`],
      [
        "Length out at the target",
        last === undefined ? "not reached" : say(last.depth, measures.length, measures.length.digits > 2 ? 2 : 0),
      ],
      ["Answer of the plan", keepUnits(`${result.verdict.answer}: ${result.verdict.says}`)],
      ["Planned from", result.inputs.map(({ file, hash }) => `${file} ${hash.slice(0, 8)}`).join(", ")],
    ]),
  );
}

function refuse(page: Page, { verdict }: PlanResult): HTMLElement {
  return tag(
    page,
    "div",
    { class: "box refused" },
    tag(page, "p", {}, `Not for use. The plan's answer is \u201c${verdict.answer}\u201d: ${keepUnits(verdict.says)}`),
    bullets(page, verdict.reasons.map(keepUnits)),
    tag(page, "p", {}, "There are no steps to take until a plan goes, in and out."),
  );
}

/** Lines with a box to tick. */
function checks(page: Page, lines: readonly string[]): HTMLElement {
  return tag(page, "ul", { class: "checks" }, ...lines.map((line) => tag(page, "li", {}, tag(page, "span", { class: "tick" }), line)));
}

function before(page: Page, job: Job, result: PlanResult): HTMLElement[] {
  return [
    tag(page, "h3", {}, "State of the machine"),
    checks(page, machineState(job)),
    tag(page, "h3", {}, "Cautions"),
    bullets(page, result.verdict.cautions),
    tag(page, "h3", {}, "The plan holds on condition that"),
    checks(page, [...otherConditions(result.verdict), `Settled before use: ${result.verdict.notChecked.join("; ")}.`].map(keepUnits)),
  ];
}

function steps(page: Page, job: Job, inward: readonly Hold[], outward: readonly Hold[], { length, angle, force }: Measures): HTMLElement {
  const { port, arm } = job;
  const tube = job.launch?.tube;
  const { placeTolerance, tiltTolerance } = tube ?? port;
  const within = `within ${say(placeTolerance, length)} and ${say(tiltTolerance, angle)}`;
  const depth = (hold: Hold): string => say(hold.record.depth, length, length.digits > 2 ? 2 : 0);
  const pretension = [...new Set(arm.sections.map((section) => say(section.pretension, force)))].join(", ");
  const named = (hold: Hold, k: number): [string, string] => [
    `Feed to hold ${k}, ${depth(hold)}. Stop, let it settle, compare picture and readings.`,
    hold.together ? "2" : "1",
  ];
  const rows: [string, string][] = [
    ["Look the arm over: cables, hinges, tool fixed and tied, camera and light on, lens clean.", "1"],
    [`Set the guide${tube === undefined ? "" : " tube"} in ${port.name}: its end ${within} of where it should be. Measure it.`, "2"],
    [`Lay the arm straight in the guide, slackest cables at ${pretension}. Set every count to 0. Try each drive a little each way.`, "2"],
    ["Count and write down all that goes in (below).", "1"],
    ...inward.map((hold, k) => named(hold, k + 1)),
    [`Do the work at ${job.target.name}. Move nothing but what the work needs; write down what was found.`, "1"],
    ...outward.map((hold, k): [string, string] => [
      k === 0 ? `Begin the way out: hold ${inward.length + 1}, still at ${depth(hold)}. Readings change first, as friction turns over.` : `Draw back to hold ${inward.length + k + 1}, ${depth(hold)}.`,
      hold.together ? "2" : "1",
    ]),
    ["Draw the tool through the port by hand and eye; slacken the cables; then let go of the arm.", "2"],
    ["Count what came out against what went in. Look at cables and hinges, note the entry. Close the port.", "2"],
  ]; // biome-ignore format: one step a line
  return table(
    page,
    "People: 2 where one holds or watches the arm while the other drives. Nobody drives while hands are at the port.",
    ["", "Step", "People", "Done"],
    rows.map(([step, people], k) => [String(k + 1), keepUnits(step), people, tag(page, "span", { class: "tick" })]),
    [2],
    "steps",
  );
}

function tally(page: Page, job: Job): HTMLElement {
  const { sections, tool } = job.arm;
  const cables = sections.reduce((sum, section) => sum + section.cableAngles.length, 0);
  const vertebrae = sections.reduce((sum, section) => sum + section.spans, 0);
  const hoses = [...new Set(sections.flatMap((section) => section.hoses.map((hose) => hose.name)))];
  const items: string[] = [
    `Arm: ${vertebrae} vertebrae`,
    `Cables, each whole at its end: ${cables}`,
    `Tool: ${tool.name}`,
    ...hoses.map((name) => `Hose or lead: ${name}`),
    "Screws and clamps of the tool",
    "",
    "",
  ];
  const list = part(
    page,
    "What goes in and comes out",
    table(
      page,
      "",
      ["What", "In", "Out", "Same"],
      items.map((item) => [item, "", "", tag(page, "span", { class: "tick" })]),
      [],
      "sign",
    ),
  );
  return list;
}

function signatures(page: Page): HTMLElement {
  return part(
    page,
    "Signed",
    table(
      page,
      "",
      ["Who", "Name", "Date and time", "Sign"],
      ["Operator", "Second person", "For the owner of the machine"].map((who) => [who, "", "", ""]),
      [],
      "sign",
    ),
    tag(page, "p", {}, "What was seen, what was different, what is left to do:"),
    tag(page, "div", { class: "box" }, tag(page, "p", {}, "\u00a0"), tag(page, "p", {}, "\u00a0"), tag(page, "p", {}, "\u00a0")),
  );
}
