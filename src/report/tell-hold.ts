/** One hold of a run sheet: where, why, what it looks like, what the drives should read. */
import type { ArmModel } from "../arm/index.ts";
import { formatQuantity } from "../base/index.ts";
import type { DriveRow } from "../drive/index.ts";
import type { Job } from "../job/index.ts";
import { drawHold, type Stage } from "./draw-hold.ts";
import type { Hold } from "./list-holds.ts";
import { type Measures, say, sayNumber } from "./measure.ts";
import { type Page, table, tag } from "./page.ts";

export function tellHold(page: Page, stage: Stage, job: Job, arm: ArmModel, hold: Hold, number: number, measures: Measures): HTMLElement {
  const { record, row, why, together } = hold;
  const { length, angle, force } = measures;
  const body = job.bodies[record.askedBody];
  const near =
    body === undefined
      ? "nothing that must not be touched is near"
      : `nearest is ${body.name}, ${say(record.asked, length, 1)} from vertebra ${record.askedVertebra} at least`;
  const twist = record.twist[arm.spans]!;
  const leans =
    record.contact?.state === "held" && record.contact.body.length > 0
      ? ` It leans on ${[...new Set(Array.from(record.contact.body, (b) => job.bodies[b]?.name))].join(", ")}.`
      : " It touches nothing.";
  const feed = Number.isNaN(row.feedCounts) ? "" : `, ${row.feedCounts} counts`;
  const time = Number.isNaN(row.time) ? "" : `; ${sayTime(row.time)} of moving since this way began`;
  return tag(
    page,
    "section",
    { class: "hold" },
    tag(
      page,
      "div",
      { class: "head" },
      tag(page, "h3", {}, `Way ${hold.way}, hold ${number}: ${why.join("; ")}`),
      together && tag(page, "span", { class: "two" }, "2 people"),
    ),
    tag(
      page,
      "p",
      {},
      `Feed ${say(record.depth, length, length.digits > 2 ? 2 : 0)} out${feed}; roll ${say(record.roll, angle, 1)}${Number.isNaN(row.rollCounts) ? "" : `, ${row.rollCounts} counts`}${time}. ` +
        `The feed ${row.feedForce < 0 ? "holds back" : "pushes"} ${say(Math.abs(row.feedForce), force)}. Picture: ${near}; the tip is turned by ${say(Math.abs(twist), angle, 1)} about its own axis.${leans}`,
    ),
    drawHold(page, stage, job, arm, record, measures),
    tellTensions(page, arm, hold, measures),
    tag(
      page,
      "p",
      {},
      tag(page, "span", { class: "tick" }),
      "as expected, ",
      tag(page, "span", { class: "tick" }),
      " not: go back one hold and say so. Time ",
      tag(page, "span", { class: "write" }),
      " Sign ",
      tag(page, "span", { class: "write" }),
    ),
  );
}

/** Turns and tension of every cable with the band that friction allows, in three columns. */
export function tellTensions(page: Page, arm: ArmModel, { record, row }: Hold, { force }: Measures): HTMLElement {
  const each = Math.ceil(arm.cables / 3);
  const columns = [0, 1, 2].map((k) => Array.from({ length: arm.cables }, (_, c) => c).slice(k * each, (k + 1) * each));
  const turned = !Number.isNaN(row.turns[0]!);
  const heads = ["Cable", turned ? "Turns" : "Drawn, mm", `Pull, ${force.name}`, "Allowed"];
  return tag(
    page,
    "div",
    { class: "columns" },
    ...columns
      .filter((cables) => cables.length > 0)
      .map((cables) =>
        table(
          page,
          "",
          heads,
          cables.map((c) => [
            `${c + 1} (${arm.sectionOfCable[c]! + 1})`,
            (turned ? row.turns[c]! : 1e3 * row.length[c]!).toFixed(turned ? 3 : 2).replace("-", "\u2212"),
            sayNumber(row.tension[c]!, force),
            sayBand(bandOf(arm, record.rub?.least[c], row, c), force),
          ]),
          [1, 2, 3],
          "tensions",
        ),
      ),
  );
}

/**
 * What a drive may read, N: between the least and the most anywhere along its cable while the coefficients lie in their ranges; without friction
 * a tenth either way (common practice, no source).
 */
export function bandOf(arm: ArmModel, least: number | undefined, row: DriveRow, c: number): [number, number] {
  const pull = row.tension[c]!;
  return least === undefined ? [0.9 * pull, Math.min(1.1 * pull, arm.workingLoad[c]!)] : [least, row.most[c]!];
}

function sayBand([low, high]: [number, number], force: Measures["force"]): string {
  return `${sayNumber(low, force)} \u2026 ${sayNumber(high, force)}`;
}

/** Whole seconds, minutes above three. */
export function sayTime(seconds: number): string {
  if (!Number.isFinite(seconds)) return "not known";
  return seconds < 180 ? formatQuantity(Math.round(seconds), "time", "metric", 3) : `${Math.round(seconds / 60)} min`;
}
