/** The use of a margin for a changed arm, solved again at one depth with the bends of the plan. */
import type { ArmModel, Section } from "../arm/index.ts";
import {
  askingOf,
  clearanceOf,
  type DepthRecord,
  type InsertionModel,
  type InsertionWork,
  leastAsked,
  loadWithWalls,
  sagOf,
  solveAt,
  solved,
} from "../insertion/index.ts";
import { createInspection, createRodState, inspectShape, type RodState } from "../rod/index.ts";
import type { MarginRow } from "../verdict/index.ts";

/** Rows whose number one solve at one depth gives, or none at all; the others are only told by planning a changed arm again. */
const probed = ["reach", "joint", "strain", "cable-load", "twist", "clearance", "touch", "sag"];

export function isProbed(id: string): boolean {
  return probed.includes(id);
}

/** @returns demand / limit there, or undefined when no balance was found */
export function useAt(model: InsertionModel, record: DepthRecord, row: MarginRow, work: InsertionWork): number | undefined {
  const state = createRodState(model.arm);
  if (!solved(solveAt(model, record.depth, record.roll, record.bend, state, work))) return undefined;
  if (record.contact?.state === "held") {
    const leaning = { ...model, load: loadWithWalls(model, work) };
    if (!solved(solveAt(leaning, record.depth, record.roll, record.bend, state, work))) return undefined;
    if (row.id === "sag") return orNothing(sagOf(model, state, work, leaning.load.walls) / row.limit);
  }
  return useOf(model, record, row, state, work);
}

/** The same of a shape that was solved: `work` is as its solve left it. */
export function useOf(
  model: InsertionModel,
  record: DepthRecord,
  row: MarginRow,
  state: RodState,
  work: InsertionWork,
): number | undefined {
  const { arm } = model;
  if (row.id === "sag") return orNothing(sagOf(model, state, work) / row.limit);
  if (row.id === "clearance") {
    // what the plan takes off between the depths is taken off here too
    const limit = leastAsked(model, askingOf(model, work)).asked - Math.max(0, record.askedSeen - row.limit);
    return limit > 0 ? row.demand / limit : undefined;
  }
  if (row.id === "touch") {
    const vertebra = row.where.vertebra ?? record.tightest;
    const moved = (clearanceOf(model, work).spare[vertebra] as number) - spareOf(model, record, vertebra);
    return row.limit + moved > 0 ? row.demand / (row.limit + moved) : undefined;
  }
  const seen = createInspection(arm);
  inspectShape(arm, state, work.rod, seen);
  if (row.id === "twist") return Math.abs(seen.twist[arm.spans] as number) / row.limit;
  if (row.id === "cable-load") return state.tension.reduce((worst, t, c) => Math.max(worst, t / (arm.workingLoad[c] as number)), 0);
  const perSpan = row.id === "joint" ? seen.jointAngle : seen.strain;
  return perSpan.reduce((worst, value, i) => Math.max(worst, value / limitAt(arm, i, row.id)), 0);
}

/** What a vertebra had in the plan beyond what is asked beside its nearest body, m. */
function spareOf(model: InsertionModel, record: DepthRecord, vertebra: number): number {
  const body = record.nearest[vertebra] as number;
  return (record.clearance[vertebra] as number) - (body < 0 ? 0 : (model.need[body] as number));
}

function orNothing(value: number): number | undefined {
  return Number.isNaN(value) ? undefined : value;
}

function limitAt(arm: ArmModel, span: number, id: string): number {
  const section = arm.description.sections[arm.sectionOfSpan[span] as number] as Section;
  return id === "joint" ? section.jointLimit : Math.min(...section.rods.map((rod) => rod.material.allowedStrain));
}
