/** Margins of the arm on its drum, where the arm file has one; what does not fit otherwise is a condition. */

import { nameCable } from "../arm/index.ts";
import { formatQuantity } from "../base/index.ts";
import { type DrumResult, type DrumRow, type Pull, type Worst, worstRow } from "../drum/index.ts";
import type { Facts } from "./facts.ts";
import type { Draft } from "./rows.ts";

export function drumRows(facts: Pick<Facts, "arm" | "drum">): Draft[] {
  const { drum } = facts;
  if (drum === undefined) return [];
  const lost = drum.faults.some((fault) => fault.kind === "balance");
  const joint = worstRow(drum.rows, (row) => row.joint);
  const strain = worstRow(drum.rows, (row) => row.strain);
  const line = worstRow(drum.rows, (row) => row.line);
  const out = (of: (row: DrumRow) => Worst, worst: Worst): string => sayOut(drum.rows.find((row) => of(row).use === worst.use));
  const rows: Draft[] = [];
  const add = (id: string, title: string, unit: "rad" | "1", worst: Worst, says: string, note: string, warn = false): void => {
    const section = facts.arm.sectionOfSpan[worst.span] as number;
    rows.push({
      id,
      title,
      unit,
      demand: worst.value,
      limit: worst.limit,
      use: lost && worst.use <= 1 ? Number.NaN : worst.use,
      where: { section, vertebra: worst.span + 1 },
      whereSays: `on the drum, joint ${worst.span + 1} in section ${section + 1}, ${says}`,
      note,
      warn,
    });
  };
  if (joint !== undefined)
    add(
      "drum-joint",
      "Joint angle on the drum",
      "rad",
      joint,
      out((row) => row.joint, joint),
      "As the arm is wound up and paid out; weight and the core's push are left out.",
    );
  if (strain !== undefined)
    add(
      "drum-strain",
      "Rod strain on the drum",
      "1",
      strain,
      out((row) => row.strain, strain),
      `Against the strain allowed once.${
        line !== undefined && line.use > 1
          ? ` It leaves the straight line, which ends at ${(100 * line.limit).toFixed(2)} %: do not leave it coiled longer than it must.`
          : ""
      }`,
      line !== undefined && line.use > 1,
    );
  const pull = strongest(drum);
  if (pull !== undefined) {
    const section = facts.arm.sectionOfCable[pull.one.cable] as number;
    rows.push({
      id: "drum-cable",
      title: "Cable load on the drum",
      unit: "N",
      demand: pull.one.most,
      limit: facts.arm.workingLoad[pull.one.cable] as number,
      use: lost ? Number.NaN : pull.one.use,
      where: { section, cable: pull.one.cable },
      whereSays: `${pull.way}, ${nameCable(facts.arm, pull.one.cable)}, ${sayOut(pull.row)}`,
      note: `${drum.bentBy === "drum" ? "Pull of the drives while core and cover bend the arm and its cables are kept at their pretension" : "Pull that its own sections need to lay it round the core"}, ${
        facts.arm.description.friction === undefined
          ? "without friction of the cables"
          : "friction of the cables in holes and conduit at its high end"
      }.`,
    });
  }
  return rows;
}

function sayOut(row: DrumRow | undefined): string {
  return row === undefined ? "" : `${formatQuantity(row.paidOut, "length", "metric", 3)} paid out`;
}

function strongest(drum: DrumResult): { one: Pull; row: DrumRow; way: string } | undefined {
  let found: { one: Pull; row: DrumRow; way: string } | undefined;
  for (const row of drum.rows) {
    if (row.winding.use > (found?.one.use ?? -1)) found = { one: row.winding, row, way: "wound up" };
    if (row.paying !== undefined && row.paying.use > (found?.one.use ?? -1)) found = { one: row.paying, row, way: "paid out" };
  }
  return found;
}

/** Faults that no row tells. */
export function drumConditions({ drum }: Facts): string[] {
  const told = ["joint", "strain", "cable"];
  return (drum?.faults ?? []).filter((fault) => !told.includes(fault.kind)).map((fault) => `The drum: ${fault.says}`);
}

export function assumeDrum({ drum, fromDrum }: Facts): string[] {
  if (drum === undefined) return [];
  const by = drum.bentBy === "drum" ? "core and cover, its cables kept at their pretension" : "its own sections";
  return [
    `On its drum the arm lies on the core, bent by ${by}; what is paid out is straight in its tube, and its weight is the core's to carry.`,
    ...(fromDrum === true
      ? ["Whatever is not yet out lies on the drum while the arm goes in; its cables rub in every hole that is turned there."]
      : []),
  ];
}
