/** Zones of a job file: keep-outs become bodies, what acts on the arm becomes zones. */
import type { Body, Zone } from "../space/index.ts";
import type { OpenFault } from "./convert-arm.ts";
import { convertPlacement } from "./convert-placement.ts";
import type { JobFile, ZoneFile } from "./schema-job.ts";

/** After the bodies of the file, in the order of the zones. */
export function convertKeepOuts(file: JobFile, faults: OpenFault[]): Body[] {
  return (file.zones ?? []).flatMap((zone, k) =>
    zone.kind !== "keep-out"
      ? []
      : [
          {
            name: zone.name,
            shape: convertShape(zone, k, faults),
            placement: convertPlacement(zone),
            touch: { kind: "never" as const, standOff: zone["stand-off"] ?? 0 },
            zone: "keep-out" as const,
          },
        ],
  );
}

export function convertZones(file: JobFile, faults: OpenFault[]): { readonly zones?: readonly Zone[] } {
  const zones = (file.zones ?? []).flatMap((zone, k): Zone[] => {
    if (zone.kind === "keep-out") return [];
    return [
      {
        name: zone.name,
        holds: zone.kind === "hot" ? { kind: "hot", temperature: zone.temperature } : { kind: "dose", rate: zone.rate },
        shape: convertShape(zone, k, faults),
        placement: convertPlacement(zone),
      },
    ];
  });
  return zones.length === 0 ? {} : { zones };
}

/** A dimension that is missing, or not one of this shape, is a fault; what stands for it serves until the fault is told. */
function convertShape(zone: ZoneFile, k: number, faults: OpenFault[]): Zone["shape"] {
  const wanted = { box: ["size"], cylinder: ["diameter", "length"], sphere: ["diameter"] }[zone.shape];
  for (const key of ["size", "diameter", "length"] as const) {
    const given = zone[key] !== undefined;
    if (wanted.includes(key) && !given)
      faults.push({ code: "shape.missing-key", at: ["zones", k, key], problem: "is missing.", hint: `Give a ${zone.shape} its ${key}.` });
    if (!wanted.includes(key) && given)
      faults.push({
        code: "shape.unknown-key",
        at: ["zones", k, key],
        problem: `is no dimension of a ${zone.shape}.`,
        hint: `Take it away: a ${zone.shape} has ${wanted.join(" and ")}.`,
      });
  }
  const { size = [1, 1, 1], diameter = 1, length = 1 } = zone;
  if (zone.shape === "box") return { kind: "box", size };
  return zone.shape === "cylinder" ? { kind: "cylinder", radius: diameter / 2, length } : { kind: "sphere", radius: diameter / 2 };
}
