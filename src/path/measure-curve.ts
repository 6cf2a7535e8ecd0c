/** Shape, distance and distance gradient of the curve at its stations. */
import { type CellTree, type SpaceModel, sampleSpace } from "../space/index.ts";
import type { RouteRequest } from "./model.ts";
import { neededRoom, type RouteWork, roomAtEnd } from "./route-state.ts";
import type { SmoothState, SmoothWork } from "./smooth-model.ts";

/** Free radius that the curve likes to have, as a multiple of the needed. */
export const likedRoom = 1.6;

/** The curvature limit is kept with this factor to spare. */
export const bendTight = 1.003;

/** Clearance less the wanted one on the straight end, station i from the tool point back, 1: needed room. */
export function endClear(request: RouteRequest, state: SmoothState, work: SmoothWork, i: number): number {
  const back = (state.straight * i) / (state.endPress.length - 1);
  const wanted = roomAtEnd(request, state.standOff + back);
  return (work.distance[state.clearPress.length + i]! - wanted * (state.room / neededRoom(request))) / neededRoom(request);
}

/** Shape, distance and distance gradient at all stations. */
export function measure(
  space: SpaceModel,
  tree: CellTree,
  request: RouteRequest,
  state: SmoothState,
  work: SmoothWork,
  routeWork: RouteWork,
): void {
  const { row, span, shape, points } = work;
  const { control } = state;
  const stations = state.clearPress.length;
  const ends = state.endPress.length;
  for (let j = 0; j < stations; j += 1) {
    for (let q = 0; q < 4; q += 1) {
      let x = 0;
      let y = 0;
      let z = 0;
      for (let k = 0; k < 4; k += 1) {
        const b = row[16 * j + 4 * q + k]!;
        const c = 3 * (span[j]! + k);
        x += b * control[c]!;
        y += b * control[c + 1]!;
        z += b * control[c + 2]!;
      }
      shape[12 * j + 3 * q] = x;
      shape[12 * j + 3 * q + 1] = y;
      shape[12 * j + 3 * q + 2] = z;
    }
    for (let k = 0; k < 3; k += 1) points[3 * j + k] = shape[12 * j + k]!;
  }
  for (let i = 0; i < ends; i += 1) {
    const back = state.standOff + (state.straight * i) / (ends - 1);
    for (let k = 0; k < 3; k += 1) points[3 * (stations + i) + k] = request.target[k]! - back * state.direction[k]!;
  }
  const total = stations + ends;
  sampleSpace(space, points, total, likedRoom * 1.05 * neededRoom(request), work.answer, routeWork.cells.space);
  for (let j = 0; j < total; j += 1) {
    let d = work.answer.distance[j]!;
    let nx = 0;
    let ny = 0;
    let nz = 0;
    if (work.answer.body[j]! >= 0) {
      nx = points[3 * j]! - work.answer.closest[3 * j]!;
      ny = points[3 * j + 1]! - work.answer.closest[3 * j + 1]!;
      nz = points[3 * j + 2]! - work.answer.closest[3 * j + 2]!;
      const size = Math.sqrt(nx * nx + ny * ny + nz * nz);
      const scale = size > 1e-12 ? 1 / size : 0;
      nx *= scale;
      ny *= scale;
      nz *= scale;
    }
    for (let face = 0; face < 6; face += 1) {
      const axis = face % 3;
      const room = (face < 3 ? points[3 * j + axis]! - tree.box[face]! : tree.box[face]! - points[3 * j + axis]!) + neededRoom(request);
      if (room >= d) continue;
      const sign = face < 3 ? 1 : -1;
      d = room;
      nx = axis === 0 ? sign : 0;
      ny = axis === 1 ? sign : 0;
      nz = axis === 2 ? sign : 0;
    }
    work.distance[j] = d;
    work.normal[3 * j] = nx;
    work.normal[3 * j + 1] = ny;
    work.normal[3 * j + 2] = nz;
  }
}
