/** Moves the one cursor of the page: depth, way, and the place that is looked at. */
import { batch } from "@preact/signals";
import type { MarginRow } from "../../../src/verdict/index.ts";
import {
  depth,
  nearestRecord,
  pointedPlace,
  pointedSection,
  recordIndex,
  records,
  recordsIn,
  recordsOut,
  visitAt,
  type Way,
  way,
} from "./store.ts";

export function setDepth(to: number): void {
  const nearest = nearestRecord(records.value, to);
  depth.value = nearest?.depth ?? to;
}

/** @param steps solved depths to go on, negative towards the port */
export function stepDepth(steps: number): void {
  const list = records.value;
  if (list.length === 0) return;
  const next = Math.min(list.length - 1, Math.max(0, recordIndex.value + steps));
  depth.value = list[next]?.depth ?? depth.value;
}

export function setWay(to: Way): void {
  batch(() => {
    way.value = to;
    setDepth(depth.value);
  });
}

/** Goes to another visit, at its target. */
export function setVisit(to: number): void {
  batch(() => {
    visitAt.value = to;
    pointedPlace.value = undefined;
    way.value = "in";
    setDepth(recordsIn.value[recordsIn.value.length - 1]?.depth ?? 0);
  });
}

/** Sends cursor, rose and view to where a margin is used most. */
export function goToRow(row: MarginRow): void {
  batch(() => {
    const { where } = row;
    if (where.visit !== undefined) visitAt.value = where.visit;
    const to = where.way ?? way.value;
    if ((to === "in" ? recordsIn : recordsOut).value.length > 0) way.value = to;
    if (where.depth !== undefined) setDepth(where.depth);
    if (where.section !== undefined) pointedSection.value = where.section;
    pointedPlace.value = { id: row.id, title: row.title, where };
  });
}

/** Sends the view alone to a place, m, world. */
export function goToPlace(title: string, place: readonly [number, number, number]): void {
  pointedPlace.value = { id: "", title, where: { place } };
}
