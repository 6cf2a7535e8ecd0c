/** The drives of an arm file in SI -> Drives, and the way back for faults. */
import type { Drives } from "../arm/index.ts";
import type { ArmFile } from "./schema-arm.ts";

export function convertDrives(file: NonNullable<ArmFile["drives"]>): Drives {
  const { spool, gear, motor, feed, roll } = file;
  return {
    ...(spool === undefined
      ? {}
      : {
          spool: {
            radius: spool.radius,
            ...given("turnsPerLayer", spool["turns-per-layer"]),
            ...given("layerRise", spool["layer-rise"]),
            ...given("wound", spool.wound),
          },
        }),
    ...(gear === undefined ? {} : { gear: { ratio: gear.ratio, efficiency: gear.efficiency, ...given("backlash", gear.backlash) } }),
    ...(motor === undefined
      ? {}
      : {
          motor: {
            ...given("counts", motor.counts),
            ...given("torque", motor.torque),
            ...given("peakTorque", motor["peak-torque"]),
            ...given("speed", motor.speed),
          },
        }),
    ...given("turnsIn", file["turns-in"]),
    ...given("turnsOut", file["turns-out"]),
    ...given("acceleration", file.acceleration),
    ...given("guideDiameter", file["guide-diameter"]),
    ...(feed === undefined
      ? {}
      : {
          feed: {
            ...given("counts", feed["counts-per-metre"]),
            ...given("speed", feed.speed),
            ...given("acceleration", feed.acceleration),
            ...given("force", feed.force),
          },
        }),
    ...(roll === undefined
      ? {}
      : { roll: { ...given("counts", roll.counts), ...given("speed", roll.speed), ...given("torque", roll.torque) } }),
  };
}

/** The file's own key for a step of the description's path below `drives`. */
export function driveKey(step: string, parent: string | undefined): string {
  if (step === "counts" && parent === "feed") return "counts-per-metre";
  return step.replace(/[A-Z]/g, (letter) => `-${letter.toLowerCase()}`);
}

function given<K extends string>(key: K, value: number | undefined): { [key in K]?: number } {
  return value === undefined ? {} : ({ [key]: value } as { [key in K]?: number });
}
