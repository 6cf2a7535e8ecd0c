/** What is asked of a payload map must fit the arm: looked at once, every fault found. */
import type { ArmModel } from "../arm/index.ts";
import { type Fault, refuse } from "../base/index.ts";
import type { MapRequest } from "./step-map.ts";

/** @throws InputError `capacity.value` */
export function checkMapRequest(arm: ArmModel, request: MapRequest): void {
  const faults: Fault[] = [];
  const full = (arm.along[arm.spans] as number) + arm.description.tool.length;
  const need = (fine: boolean, path: string, received: number, hint: string): void => {
    if (!fine) faults.push({ code: "capacity.value", path, problem: `is ${received}.`, hint, received: String(received) });
  };
  request.directions.forEach((d, k) => {
    const size = Math.sqrt(d[0] * d[0] + d[1] * d[1] + d[2] * d[2]);
    need(Math.abs(size - 1) < 1e-6, `directions[${k}]`, size, "Give a unit vector: three numbers of length 1.");
  });
  need(request.directions.length > 0, "directions", 0, "Give at least one direction.");
  need(request.lengths.length > 0, "lengths", 0, "Give at least one length out.");
  request.lengths.forEach((length, k) => {
    const least = arm.description.tool.length + (arm.tail[arm.spans - 1] as number) + (arm.flexible[arm.spans - 1] as number);
    need(
      length >= least && length <= full * (1 + 1e-12),
      `lengths[${k}]`,
      length,
      `Give a length from ${least.toPrecision(4)} m, the last joint and the tool, to ${full.toPrecision(4)} m, the whole arm.`,
    );
  });
  (request.pretensions ?? []).forEach((n, k) => {
    need(n >= 0 && Number.isFinite(n), `pretensions[${k}]`, n, "Give a tension of 0 N or more.");
  });
  need(request.offsets === undefined || request.offsets.length > 0, "offsets", 0, "Give at least one place, or leave them out.");
  [request.offset ?? [0, 0, 0], ...(request.offsets ?? [])].forEach((offset, k) => {
    const worst = offset.find((x) => !Number.isFinite(x));
    need(worst === undefined, k === 0 ? "offset" : `offsets[${k - 1}]`, worst ?? 0, "Give three finite lengths.");
  });
  const { sag, cableShare } = request.limits;
  if (sag !== undefined) need(sag > 0, "limits.sag", sag, "Give a length above 0 m, or leave it out.");
  if (cableShare !== undefined) need(cableShare > 0, "limits.cableShare", cableShare, "Give a share above 0.");
  const { tolerance = 1e-3, most = 1 } = request;
  need(tolerance >= 1e-9 && tolerance <= 0.5, "tolerance", tolerance, "Give a share from 1e-9 to 0.5.");
  need(most > 0, "most", most, "Give a load above 0 N.");
  need(request.bend.length === 2 * arm.sections, "bend.length", request.bend.length, `Give ${2 * arm.sections} numbers, two a section.`);
  need(request.exit.length === 12, "exit.length", request.exit.length, "Give a frame of 12 numbers.");
  refuse(faults);
}
