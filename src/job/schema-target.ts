/** What a job file may say of a target. */
import * as z from "zod";
import { type Fields, group } from "./field.ts";

/** As many targets as a job may have; their order is found exactly. */
export const mostTargets = 12;
/** As many places as one target may leave to choose from. */
export const mostChoices = 12;

export function targetFields({ quantity, interval }: Fields) {
  const direction = (says: string) =>
    z.tuple([z.number(), z.number(), z.number()]).meta({ description: `${says}: three plain numbers, any length but 0` });
  const one = {
    name: z.string().min(1).meta({ description: "what to call it" }).default("target"),
    task: z.enum(["look", "touch", "measure", "work", "heat"]).meta({ description: "what is done there" }),
    place: z.tuple([
      quantity("length", { says: "place of interest on the surface, x" }),
      quantity("length", { says: "place of interest on the surface, y" }),
      quantity("length", { says: "place of interest on the surface, z" }),
    ]),
    aim: direction("from the tool towards the place"),
    cone: quantity("angle", { says: "half-angle of the cone the aim may lie in", default: "15 deg", from: 0, upTo: Math.PI }),
    "stand-off": interval("length", { says: "least .. greatest distance of the tool point from the place", default: "0 mm", from: 0 }),
    tolerance: quantity("length", { says: "how far the tool point may be from its planned place", default: "5 mm", above: 0 }),
    patch: z
      .union([
        group({ radius: quantity("length", { says: "any place of the surface within this of `place` will do", above: 0 }) }),
        group({
          size: z.tuple([quantity("length", { says: "first side", above: 0 }), quantity("length", { says: "second side", above: 0 })]),
          along: direction("of the first side, as far as it lies across the normal"),
        }),
      ])
      .optional()
      .meta({ description: "any place of it will do: within a radius of `place`, or on a rectangle about it" }),
    normal: direction("square to the surface there, away from it; that of the nearest surface when absent").optional(),
    "most-tilt": quantity("angle", {
      says: "greatest angle of the line of sight (look) or of the tool (other tasks) to that normal; look: 60 deg, others: not judged when absent",
      above: 0,
      upTo: Math.PI / 2,
    }).optional(),
    indication: quantity("length", { says: "smallest indication that must be seen there; not judged when absent", above: 0 }).optional(),
    "indication-pixels": quantity("ratio", {
      says: "with indication: pixels that it must fill; 3 when absent",
      above: 0,
    }).optional(),
  };
  return group({
    ...one,
    or: z
      .array(group(one))
      .min(1)
      .max(mostChoices - 1)
      .optional()
      .meta({ description: "other targets, any of which will do in its place: the one that is reached most cheaply is taken" }),
  });
}
