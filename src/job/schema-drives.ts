/** What an arm file may say of the drives outside: one a cable, all alike, and those that feed and roll the arm. */
import * as z from "zod";
import { type Fields, group } from "./field.ts";

export function driveFields({ quantity }: Fields) {
  const counts = (says: string) => z.number().positive().optional().meta({ description: says });
  const turns = (says: string) => z.number().positive().optional().meta({ description: says });
  return group({
    spool: group({
      radius: quantity("length", { says: "from the spool's axis to the middle of a cable in the first layer", above: 0 }),
      "turns-per-layer": z.number().min(1).optional().meta({ description: "turns side by side in a layer; all in one layer when absent" }),
      "layer-rise": quantity("length", {
        says: "how much farther out each layer lies; the cable's diameter when absent",
        above: 0,
      }).optional(),
      wound: z.number().min(0).optional().meta({
        description: "turns on it while the arm is straight and slack; all of the first layer, and no end of it told, when absent",
      }),
    })
      .optional()
      .meta({ description: "what a cable is wound on" }),
    gear: group({
      ratio: z.number().positive().meta({ description: "turns of the motor a turn of the spool" }),
      efficiency: quantity("ratio", { says: "share of the motor's work that reaches the spool", default: "1", above: 0, upTo: 1 }),
      backlash: quantity("angle", {
        says: "turn of the spool that is lost when its load turns over; none when absent",
        from: 0,
      }).optional(),
    })
      .optional()
      .meta({ description: "between spool and motor; one shaft when absent" }),
    motor: group({
      counts: counts("counts of its encoder a turn"),
      torque: quantity("torque", { says: "what it may give for as long as one likes", above: 0 }).optional(),
      "peak-torque": quantity("torque", { says: "what it may give for a moment", above: 0 }).optional(),
      speed: quantity("turn-rate", { says: "greatest speed", above: 0 }).optional(),
    })
      .optional()
      .meta({ description: "what turns a spool; what is absent is not judged" }),
    "turns-in": turns("turns of the spool that it can draw in from where the arm is straight and slack"),
    "turns-out": turns("turns of the spool that it can pay out from there"),
    acceleration: quantity("acceleration", { says: "greatest acceleration of a cable; at once when absent", above: 0 }).optional(),
    "guide-diameter": quantity("length", { says: "diameter of the smallest pulley or guide on a cable's way", above: 0 }).optional(),
    feed: group({
      "counts-per-metre": counts("counts a metre of feed"),
      speed: quantity("velocity", { says: "greatest speed", above: 0 }).optional(),
      acceleration: quantity("acceleration", { says: "greatest acceleration; at once when absent", above: 0 }).optional(),
      force: quantity("force", { says: "greatest push or pull", above: 0 }).optional(),
    })
      .optional()
      .meta({ description: "what pushes the arm through its guide; what is absent is not judged" }),
    roll: group({
      counts: counts("counts a turn of the base"),
      speed: quantity("turn-rate", { says: "greatest speed", above: 0 }).optional(),
      torque: quantity("torque", { says: "greatest torque at the base", above: 0 }).optional(),
    })
      .optional()
      .meta({ description: "what rolls the arm's base; what is absent is not judged" }),
  });
}
