/** The tightest curve of every cable, and how many entries it lasts there. */
import type { ArmModel, Drives, Section } from "../arm/index.ts";
import { bendsToBreak, lifeSpread } from "./cable-life.ts";
import type { CableLife, DriveRow } from "./model.ts";

/** Cables that run round no curve whose diameter is told are left out. */
export function listLives(arm: ArmModel, rows: readonly DriveRow[]): CableLife[] {
  if (rows.length === 0) return [];
  const drives = arm.description.drives ?? {};
  return Array.from({ length: arm.cables }, (_, c) => c).flatMap((c) => {
    const section = arm.description.sections[arm.sectionOfCable[c] as number] as Section;
    const curve = tightest(drives, section);
    if (curve === undefined) return [];
    const ratio = curve.diameter / section.cable.diameter;
    const tension = rows.reduce((most, row) => Math.max(most, row.most[c] as number), 0);
    const passes = countPasses(rows, c);
    // over a guide a place bends and straightens each time it passes; onto a spool it bends once and off again it straightens
    const bends = curve.at === "spool" ? Math.max(1, passes / 2) : Math.max(1, passes);
    const entries = bendsToBreak(ratio, tension, section.cable.diameter) / bends;
    return [{ cable: c, at: curve.at, ratio, tension, bends, entries, least: entries / lifeSpread, most: entries * lifeSpread }];
  });
}

function tightest({ spool, guideDiameter }: Drives, { holeEdge }: Section): { at: CableLife["at"]; diameter: number } | undefined {
  const told = [
    { at: "spool" as const, diameter: spool === undefined ? Number.NaN : 2 * spool.radius },
    { at: "guide" as const, diameter: guideDiameter ?? Number.NaN },
    { at: "hole" as const, diameter: holeEdge === undefined ? Number.NaN : 2 * holeEdge },
  ].filter(({ diameter }) => !Number.isNaN(diameter));
  return told.reduce<(typeof told)[number] | undefined>(
    (best, one) => (best === undefined || one.diameter < best.diameter ? one : best),
    undefined,
  );
}

/** Runs of a cable in one direction over the whole entry; turns shorter than a hundredth of its stroke do not count. */
export function countPasses(rows: readonly DriveRow[], cable: number): number {
  const at = rows.map((row) => row.length[cable] as number);
  const stroke = Math.max(...at) - Math.min(...at);
  if (!(stroke > 0)) return 0;
  let passes = 0;
  let direction = 0;
  let [low, high] = [at[0] as number, at[0] as number];
  for (const value of at) {
    low = Math.min(low, value);
    high = Math.max(high, value);
    const turned =
      direction >= 0
        ? value < high - stroke / 100
          ? -1
          : direction === 0 && value > low + stroke / 100
            ? 1
            : 0
        : value > low + stroke / 100
          ? 1
          : 0;
    if (turned === 0) continue;
    direction = turned;
    passes++;
    low = value;
    high = value;
  }
  return passes;
}
