/** What a drum must be, whatever arm goes on it. */
import type { Fault } from "../base/index.ts";
import type { Drum } from "./description.ts";

/** @returns every fault, its path below `path` */
export function checkDrumValues(drum: Drum, path: string): Fault[] {
  const faults: Fault[] = [];
  const add = (key: string, value: number, hint: string): void => {
    faults.push({ code: "drum.value", path: `${path}.${key}`, problem: `is ${value}.`, hint, received: String(value) });
  };
  const above = (key: string, value: number | undefined): void => {
    if (value !== undefined && !(value > 0 && Number.isFinite(value))) add(key, value, "Give a length above 0.");
  };
  above("radius", drum.radius);
  if (drum.lay === "helix") above("pitch", drum.pitch);
  above("width", drum.width);
  above("flange", drum.flange);
  if (drum.cover !== undefined && !(drum.cover >= 0 && Number.isFinite(drum.cover)))
    add("cover", drum.cover, "Give a length of 0 or more.");
  if (!Number.isFinite(drum.start)) add("start", drum.start, "Give a finite angle.");
  if (drum.roll !== undefined && !Number.isFinite(drum.roll)) add("roll", drum.roll, "Give a finite angle.");
  const { low, nominal, high } = drum.friction;
  if (!(low >= 0 && low <= nominal && nominal <= high && Number.isFinite(high)))
    add("friction", nominal, "Give a coefficient of 0 or more.");
  if (!(drum.pull >= 0 && Number.isFinite(drum.pull))) add("pull", drum.pull, "Give a force of 0 or more.");
  return faults;
}
