/** The room outside the port, as the job file tells it. */
import type { Outside } from "../outside/index.ts";
import type { OpenFault } from "./convert-arm.ts";
import type { JobFile } from "./schema-job.ts";

export function convertOutside({ outside, launch }: JobFile, faults: OpenFault[]): { readonly outside?: Outside } {
  if (outside === undefined) return {};
  const { "carriage-stroke": stroke, regrip, "support-every": supportEvery } = outside;
  const add = (key: string, problem: string, hint: string): void => {
    faults.push({ code: "job.outside", at: ["outside", key], problem, hint });
  };
  if (stroke === undefined && regrip)
    add("regrip", "is true without a carriage-stroke.", "Give the carriage's stroke, or take regrip away.");
  if (stroke === undefined && launch?.from !== "drum" && outside.things.some(({ moves }) => moves))
    add("things", "has a thing that moves, and there is no carriage-stroke.", "Give the carriage's stroke, or say that it stands still.");
  const names = outside.things.map(({ name }) => name);
  if (new Set(names).size < names.length) add("things", "has two things of one name.", "Give each a name of its own.");
  return {
    outside: {
      ...(stroke === undefined ? {} : { stroke }),
      regrip,
      gap: outside.gap,
      ...(supportEvery === undefined ? {} : { supportEvery }),
      carriageHolds: outside["carriage-holds"],
      guideHolds: outside["guide-holds"],
      bucklingFactor: outside["buckling-factor"],
      guideFriction: outside["guide-friction"].high,
      clearance: outside.clearance,
      things: outside.things.map(({ name, size, behind, aside = [0, 0], moves }) => ({ name, size, behind, aside, moves })),
    },
  };
}
