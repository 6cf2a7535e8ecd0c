/** What drives must be, whatever arm they pull. */
import type { Fault } from "../base/index.ts";
import type { Drives } from "./description.ts";

/** @returns every fault, its path below `path` */
export function checkDrives(drives: Drives, path: string): Fault[] {
  const faults: Fault[] = [];
  const need = (fine: boolean, key: string, value: number, hint: string): void => {
    if (!fine) faults.push({ code: "drives.value", path: `${path}.${key}`, problem: `is ${value}.`, hint, received: String(value) });
  };
  const above = (key: string, value: number | undefined): void => {
    if (value !== undefined) need(value > 0 && Number.isFinite(value), key, value, "Give a number above 0.");
  };
  const { spool, gear, motor, feed, roll } = drives;
  if (spool !== undefined) {
    above("spool.radius", spool.radius);
    above("spool.layerRise", spool.layerRise);
    const { turnsPerLayer, wound } = spool;
    if (turnsPerLayer !== undefined)
      need(turnsPerLayer >= 1 && Number.isFinite(turnsPerLayer), "spool.turnsPerLayer", turnsPerLayer, "Give one turn or more.");
    if (wound !== undefined) need(wound >= 0 && Number.isFinite(wound), "spool.wound", wound, "Give 0 turns or more.");
  }
  if (gear !== undefined) {
    above("gear.ratio", gear.ratio);
    need(gear.efficiency > 0 && gear.efficiency <= 1, "gear.efficiency", gear.efficiency, "Give a share above 0 and up to 1.");
    const { backlash } = gear;
    if (backlash !== undefined) need(backlash >= 0 && Number.isFinite(backlash), "gear.backlash", backlash, "Give an angle of 0 or more.");
  }
  for (const key of ["counts", "torque", "peakTorque", "speed"] as const) above(`motor.${key}`, motor?.[key]);
  if (motor?.torque !== undefined && motor.peakTorque !== undefined)
    need(motor.peakTorque >= motor.torque, "motor.peakTorque", motor.peakTorque, "Give at least what it may give all the time.");
  for (const key of ["turnsIn", "turnsOut", "acceleration", "guideDiameter"] as const) above(key, drives[key]);
  for (const key of ["counts", "speed", "acceleration", "force"] as const) above(`feed.${key}`, feed?.[key]);
  for (const key of ["counts", "speed", "torque"] as const) above(`roll.${key}`, roll?.[key]);
  const turned = motor !== undefined || gear !== undefined || drives.turnsIn !== undefined || drives.turnsOut !== undefined;
  if (spool === undefined && turned)
    faults.push({
      code: "drives.value",
      path: `${path}.spool`,
      problem: "is missing, and what turns is counted by it.",
      hint: "Give the radius of the spools, or leave gear, motor and turns out.",
    });
  return faults;
}
