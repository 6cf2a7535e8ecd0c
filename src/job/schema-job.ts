/** What a job file may say: the machine, the port, the target, the conditions and the limits. */
import * as z from "zod";
import { type Fields, group } from "./field.ts";
import { changeKinds } from "./model.ts";
import { fileVersion } from "./schema-arm.ts";
import { mostTargets, targetFields } from "./schema-target.ts";

export function jobFields(fields: Fields) {
  const { quantity, interval, ranged } = fields;
  const name = (says: string) => z.string().min(1).meta({ description: says });
  const direction = (says: string) =>
    z.tuple([z.number(), z.number(), z.number()]).meta({ description: `${says}: three plain numbers, any length but 0` });
  const place = (says: string) =>
    z.tuple([
      quantity("length", { says: `${says}, x` }),
      quantity("length", { says: `${says}, y` }),
      quantity("length", { says: `${says}, z` }),
    ]);
  const placed = {
    name: name("what to call it"),
    at: place("where the body's own origin lies").optional(),
    turn: z
      .tuple([
        quantity("angle", { says: "turn about the fixed x axis, first" }),
        quantity("angle", { says: "turn about the fixed y axis, second" }),
        quantity("angle", { says: "turn about the fixed z axis, last" }),
      ])
      .optional(),
    touch: z.enum(["free", "light", "never"]).default("never").meta({
      description: "free: may be touched; light: may be touched up to a force; never: must not be touched",
    }),
    "stand-off": quantity("length", { says: "with touch: never, nothing comes nearer than this", from: 0 }).optional(),
    "touch-force": quantity("force", { says: "with touch: light, the greatest force", above: 0 }).optional(),
  };
  const piped = {
    ...placed,
    joins: z
      .array(name("name of another pipe"))
      .min(1)
      .optional()
      .meta({ description: "pipes (bore, bend, reducer, tee, annulus) that it runs into: where they overlap, the walls of both are open" }),
  };
  const ported = {
    centre: place("centre of the guide's exit"),
    axis: direction("into the machine"),
    bore: quantity("length", { says: "diameter of the bore", above: 0 }),
    wall: quantity("length", { says: "thickness of the wall behind the exit", default: "0 mm", from: 0 }),
    "place-tolerance": quantity("length", { says: "how far the real place may be from the stated one", default: "0 mm", from: 0 }),
    "tilt-tolerance": quantity("angle", {
      says: "how far the real axis may tilt from the stated one",
      default: "0 deg",
      from: 0,
      upTo: Math.PI / 2,
    }),
  };
  const shape = <S extends string>(kind: S, says: string) => z.literal(kind).meta({ description: says });
  const body = z.discriminatedUnion("shape", [
    group({
      ...placed,
      shape: shape("mesh", "triangles from an STL, OBJ, PLY or GLB file, or a surface from a STEP, IGES or BREP file"),
      file: name("path of the file, inside the job's folder; its ending tells a CAD file"),
      unit: z
        .enum(["m", "cm", "mm", "um", "in", "ft"])
        .meta({ description: "what one unit of the file is; GLB is in metres when absent, STEP and IGES say their own" })
        .optional(),
      tolerance: quantity("length", {
        says: "how far the true surface may be from the triangles, and how finely a CAD surface is made of them; 0.1 mm for CAD, else 0 mm when absent",
        from: 0,
      }).optional(),
      parts: z
        .array(
          group({
            name: name("as the file calls the part"),
            touch: placed.touch.unwrap().optional(),
            "stand-off": placed["stand-off"],
            "touch-force": placed["touch-force"],
            "leave-out": z.boolean().default(false).meta({ description: "the part is not there" }),
          }),
        )
        .optional()
        .meta({ description: "parts of the file with rules of their own; the others have the body's" }),
    }),
    group({
      ...piped,
      shape: shape("bore", "the wall of a bore along a line with rounded corners, open at both ends"),
      points: z
        .array(
          group({
            at: place("a corner of the centre line"),
            radius: quantity("length", { says: "radius of the bore here", above: 0 }),
            bend: quantity("length", { says: "radius of the centre line round this corner", default: "0 mm", from: 0 }),
          }),
        )
        .min(2),
    }),
    group({
      ...piped,
      shape: shape("bend", "the wall of a bent pipe, open at both ends: from its origin along z, turning towards x"),
      "bend-radius": quantity("length", { says: "radius of the centre line", above: 0 }),
      bore: quantity("length", { says: "diameter of the bore", above: 0 }),
      angle: quantity("angle", { says: "by which it turns", above: 0 }),
    }),
    group({
      ...piped,
      shape: shape("reducer", "the wall of a concentric reducer, open at both ends, along z from its origin"),
      diameters: z.tuple([
        quantity("length", { says: "diameter at its origin", above: 0 }),
        quantity("length", { says: "diameter at its far end", above: 0 }),
      ]),
      length: quantity("length", { says: "length", above: 0 }),
    }),
    group({
      ...piped,
      shape: shape("tee", "the wall of a tee, open at its three ends: the run along z with its middle at the origin, the branch towards x"),
      run: group({
        bore: quantity("length", { says: "diameter of the run", above: 0 }),
        length: quantity("length", { says: "end to end", above: 0 }),
      }),
      branch: group({
        bore: quantity("length", { says: "diameter of the branch, at most the run's", above: 0 }),
        length: quantity("length", { says: "from the run's centre line to the branch's end", above: 0 }),
        angle: quantity("angle", { says: "from the run's z axis to the branch", default: "90 deg", above: 0, upTo: Math.PI }),
      }),
    }),
    group({
      ...piped,
      shape: shape("annulus", "a solid shaft in its casing, along z from its origin: the casing's wall is open at both ends"),
      shaft: quantity("length", { says: "diameter of the shaft", above: 0 }),
      casing: quantity("length", { says: "bore of the casing", above: 0 }),
      length: quantity("length", { says: "length", above: 0 }),
    }),
    group({
      ...placed,
      shape: shape("sphere", "a ball about its origin"),
      diameter: quantity("length", { says: "diameter", above: 0 }),
    }),
    group({
      ...placed,
      shape: shape("vanes", "a row of solid guide vanes of constant thickness with round edges"),
      row: z.enum(["straight", "radial", "axial"]).default("straight").meta({
        description:
          "straight: side by side along x, spans along z, flow along y; radial: on a ring about z, spans along z, flow in or out; axial: outwards from a hub about z, flow along z",
      }),
      ring: quantity("length", {
        says: "with row: radial or axial, diameter of the circle of the chords' middles, or of the hub",
        above: 0,
      }).optional(),
      count: z.int().min(1).max(1000).meta({ description: "number of vanes" }),
      chord: quantity("length", { says: "edge to edge", above: 0 }),
      thickness: quantity("length", { says: "thickness", above: 0 }),
      span: quantity("length", { says: "length from end to end", above: 0 }),
      stagger: quantity("angle", { says: "from the direction of the flow to the chord", default: "0 deg" }),
      camber: quantity("angle", { says: "angle by which each vane bends from edge to edge", default: "0 deg", from: 0 }),
      pitch: quantity("length", {
        says: "neighbour to neighbour, on a ring along the circle; all round the ring when absent",
        above: 0,
      }).optional(),
    }),
    group({
      ...placed,
      shape: shape("box", "a box about its origin"),
      size: z.tuple([
        quantity("length", { says: "edge along x", above: 0 }),
        quantity("length", { says: "edge along y", above: 0 }),
        quantity("length", { says: "edge along z", above: 0 }),
      ]),
    }),
    group({
      ...placed,
      shape: shape("cylinder", "a closed cylinder along z from its origin"),
      diameter: quantity("length", { says: "diameter", above: 0 }),
      length: quantity("length", { says: "length", above: 0 }),
    }),
    group({
      ...placed,
      shape: shape("ring", "a round bar bent to a circle about z"),
      diameter: quantity("length", { says: "diameter of the circle the bar's centre lies on", above: 0 }),
      bar: quantity("length", { says: "diameter of the bar", above: 0 }),
    }),
    group({
      ...placed,
      shape: shape("plate", "a plate across z with a round hole, from z = 0 up"),
      size: z.tuple([quantity("length", { says: "edge along x", above: 0 }), quantity("length", { says: "edge along y", above: 0 })]),
      thickness: quantity("length", { says: "thickness", above: 0 }),
      hole: quantity("length", { says: "diameter of the hole about the origin", above: 0 }),
    }),
    group({
      ...placed,
      shape: shape("tubes", "parallel closed tubes along z from z = 0"),
      diameter: quantity("length", { says: "outer diameter of a tube", above: 0 }),
      length: quantity("length", { says: "length", above: 0 }),
      places: z
        .array(z.tuple([quantity("length", { says: "x" }), quantity("length", { says: "y" })]))
        .min(1)
        .optional(),
      rows: group({
        count: z.int().min(1).max(1000).meta({ description: "rows along y" }),
        tubes: z.int().min(1).max(1000).meta({ description: "tubes in a row, along x" }),
        pitch: quantity("length", { says: "distance between neighbours", above: 0 }),
        staggered: z.boolean().default(false).meta({ description: "every second row stands half a pitch aside, in triangles" }),
      }).optional(),
    }),
  ]);
  const zoned = {
    name: name("what to call it"),
    at: placed.at,
    turn: placed.turn,
    shape: z
      .enum(["box", "cylinder", "sphere"])
      .meta({ description: "a box about its origin, a cylinder along z from it, a ball about it" }),
    size: z
      .tuple([
        quantity("length", { says: "edge of the box along x", above: 0 }),
        quantity("length", { says: "edge along y", above: 0 }),
        quantity("length", { says: "edge along z", above: 0 }),
      ])
      .optional(),
    diameter: quantity("length", { says: "of the cylinder or ball", above: 0 }).optional(),
    length: quantity("length", { says: "of the cylinder", above: 0 }).optional(),
  };
  const zone = z.discriminatedUnion("kind", [
    group({
      ...zoned,
      kind: shape("keep-out", "nothing of the arm comes in: clearance is held as to a body that must not be touched"),
      "stand-off": quantity("length", { says: "nothing comes nearer than this", from: 0 }).optional(),
    }),
    group({
      ...zoned,
      kind: shape("hot", "what comes in gets as hot as this"),
      temperature: quantity("temperature", { says: "temperature there", above: 0 }),
    }),
    group({
      ...zoned,
      kind: shape("dose", "what comes in gathers a dose"),
      rate: quantity("dose-rate", { says: "absorbed dose an hour there", above: 0 }),
    }),
  ]);
  return group({
    withy: z.literal(fileVersion).meta({ description: "version of the file's format" }),
    name: name("what to call the job"),
    arm: name("path of the arm file, inside the job's folder"),
    bodies: z.array(body).min(1).meta({ description: "every surface that bounds the way" }),
    zones: z.array(zone).optional().meta({ description: "parts of the space without a surface: kept out of, hot, or with a dose rate" }),
    port: group({ name: name("what to call it").default("port"), ...ported }),
    "may-change": z.array(z.enum(changeKinds)).optional().meta({
      description: "what a search for the smallest change may change; all of the arm's own when absent: neither the port nor the target",
    }),
    target: targetFields(fields).optional().meta({ description: "what is done in the machine, when it is one thing" }),
    targets: z
      .array(targetFields(fields))
      .min(1)
      .max(mostTargets)
      .optional()
      .meta({ description: "what is done in the machine, when it is several things: visited in the order that costs least" }),
    "other-ports": z
      .array(group({ name: name("what to call it"), ...ported }))
      .min(1)
      .optional()
      .meta({ description: "ports that might be used instead, for such a search" }),
    conditions: group({
      "gravity-direction": direction("which way things fall").optional(),
      gravity: z
        .tuple([
          quantity("acceleration", { says: "acceleration of gravity, x", from: -1000, upTo: 1000 }),
          quantity("acceleration", { says: "acceleration of gravity, y", from: -1000, upTo: 1000 }),
          quantity("acceleration", { says: "acceleration of gravity, z", from: -1000, upTo: 1000 }),
        ])
        .optional(),
      fluid: z
        .union([
          group({
            density: quantity("density", { says: "density", above: 0 }),
            surface: place("any place on its surface; all is immersed when absent").optional(),
            within: group({
              at: placed.at,
              turn: placed.turn,
              size: z.tuple([
                quantity("length", { says: "edge of the box along x", above: 0 }),
                quantity("length", { says: "edge along y", above: 0 }),
                quantity("length", { says: "edge along z", above: 0 }),
              ]),
            })
              .optional()
              .meta({ description: "a box about its origin that the fluid is in alone; everywhere when absent" }),
            current: z
              .tuple([
                quantity("velocity", { says: "velocity of the current, x", from: -1000, upTo: 1000 }),
                quantity("velocity", { says: "velocity of the current, y", from: -1000, upTo: 1000 }),
                quantity("velocity", { says: "velocity of the current, z", from: -1000, upTo: 1000 }),
              ])
              .optional(),
            "drag-coefficient": quantity("ratio", {
              says: "drag coefficient of the arm across the current, on its diameter",
              default: "1 .. 1.4",
              from: 0,
            }),
          }),
          z.literal("dry").meta({ description: "no fluid but air" }),
        ])
        .optional()
        .meta({ description: "what the machine is filled with; when absent the verdict says that it was not looked at" }),
      temperature: interval("temperature", {
        says: "coldest .. hottest that the arm gets in the machine; when absent the verdict says that it was not looked at",
        above: 0,
      }).optional(),
      "outside-temperature": interval("temperature", {
        says: "coldest .. hottest of the conduits outside; when absent both that of the machine and that of the setting-up are tried",
        above: 0,
      }).optional(),
      "wall-friction": ranged("ratio", {
        says: "coefficient of the arm on what it may lean on; its high end is taken",
        from: 0,
        upTo: 1,
      }).optional(),
      "feed-rate": quantity("velocity", {
        says: "speed at which the arm is to be fed; without it nothing is timed",
        above: 0,
      }).optional(),
      stay: quantity("time", { says: "how long the tool stays at the target", from: 0 }).optional(),
      "set-up-temperature": quantity("temperature", {
        says: "at which the arm was set up and its cables tensioned",
        default: "20 degC",
        above: 0,
      }),
    }).prefault({} as never),
    limits: group({
      clearance: quantity("length", { says: "least clearance to every surface, beyond a body's own stand-off", default: "2 mm", from: 0 }),
      sag: quantity("length", { says: "greatest tip motion between load off and on", default: "20 mm", above: 0 }),
      twist: quantity("angle", { says: "greatest twist of the tip about the arm's axis", default: "15 deg", above: 0 }),
      "dead-band": quantity("length", {
        says: "how far friction may hold the tool from where its cables' lengths put it; not judged when absent",
        above: 0,
      }).optional(),
    }).prefault({} as never),
    roll: group({
      carries: z
        .enum(["pack", "cables"])
        .default("pack")
        .meta({ description: "pack: pack and drum roll with the arm; cables: they stand still, and the cables wind" }),
      "winding-length": quantity("length", { says: "with carries: cables, the length over which they wind", above: 0 }).optional(),
      "most-turns": quantity("ratio", {
        says: "turns that the pack's umbilical, or the cables, may be wound either way from straight; not judged when absent",
        above: 0,
      }).optional(),
    })
      .optional()
      .meta({ description: "what happens outside when the arm's base rolls" }),
    launch: group({
      from: z
        .enum(["straight", "drum"])
        .default("straight")
        .meta({ description: "straight: the arm lies straight behind its guide; drum: it comes off the drum of its own file" }),
      tube: group({
        points: z
          .array(
            group({
              at: place("a corner of the tube's centre line"),
              bend: quantity("length", { says: "radius of the centre line round this corner", default: "0 mm", from: 0 }),
            }),
          )
          .min(2)
          .meta({ description: "from where the arm enters to the exit inside" }),
        bore: quantity("length", { says: "inside diameter", above: 0 }),
        outside: quantity("length", { says: "outside diameter", above: 0 }),
        "place-tolerance": quantity("length", {
          says: "how far its exit may be from the stated place; the port's, and its tilt over the way in between, when absent",
          from: 0,
        }).optional(),
        "tilt-tolerance": quantity("angle", {
          says: "how far its axis may tilt at the exit; the port's when absent",
          from: 0,
          upTo: Math.PI / 2,
        }).optional(),
      })
        .optional()
        .meta({ description: "a guide tube that stands still and keeps its shape; its exit is where the arm becomes free" }),
    })
      .optional()
      .meta({ description: "how the arm comes to where it is free; a straight guide alone when absent" }),
    outside: group({
      "carriage-stroke": quantity("length", {
        says: "way of the carriage that feeds the arm; no carriage when absent",
        above: 0,
      }).optional(),
      regrip: z
        .boolean()
        .default(false)
        .meta({ description: "the carriage may go back for another stroke while something else holds the arm" }),
      gap: quantity("length", {
        says: "from where the carriage grips the arm, all the way forward, to where the guide begins",
        default: "0 mm",
        from: 0,
      }),
      "support-every": quantity("length", { says: "greatest length between supports in that gap; none when absent", above: 0 }).optional(),
      "carriage-holds": z
        .enum(["hinged", "clamped"])
        .default("hinged")
        .meta({ description: "whether the carriage keeps the arm from turning" }),
      "guide-holds": z.enum(["hinged", "clamped"]).default("hinged").meta({ description: "whether the guide keeps the arm from turning" }),
      "buckling-factor": quantity("ratio", { says: "reserve against buckling of the arm in the gap", default: "2", from: 1 }),
      "guide-friction": ranged("ratio", {
        says: "friction of the arm in guide and guide tube; its high end is taken",
        default: "0.1 .. 0.3",
        from: 0,
        upTo: 1,
      }),
      clearance: quantity("length", { says: "least distance of the things outside from every body", default: "10 mm", from: 0 }),
      things: z
        .array(
          group({
            name: name("what it is: pack, clamp, drum, room for hands"),
            size: z.tuple([
              quantity("length", { says: "across the guide's axis, level", above: 0 }),
              quantity("length", { says: "across the axis, upright", above: 0 }),
              quantity("length", { says: "along the axis", above: 0 }),
            ]),
            behind: quantity("length", { says: "from the guide's beginning outwards to its near face, the carriage all the way forward" }),
            aside: z
              .tuple([
                quantity("length", { says: "its middle aside of the axis, level" }),
                quantity("length", { says: "its middle aside of the axis, upright" }),
              ])
              .optional(),
            moves: z.boolean().default(false).meta({ description: "goes with the carriage" }),
          }),
        )
        .default([])
        .meta({ description: "boxes that are taken up outside" }),
    })
      .optional()
      .meta({ description: "the room outside the port; when absent the verdict says that it was not looked at" }),
    "guide-length": quantity("length", {
      says: "straight guide before the port's exit, or before the guide tube",
      default: "60 mm",
      from: 0,
    }),
  });
}

export type JobFile = z.infer<ReturnType<typeof jobFields>>;
export type ZoneFile = NonNullable<JobFile["zones"]>[number];
export type BodyFile = JobFile["bodies"][number];
