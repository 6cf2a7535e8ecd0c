/** What an arm file may say. Keys are plain trade words; every quantity is written with its unit. */
import * as z from "zod";
import { type Fields, group } from "./field.ts";
import { driveFields } from "./schema-drives.ts";
import { cableStocks, rodMaterials } from "./stock.ts";

/** The version of the files that this program writes and reads. */
export const fileVersion = 1;

/** More than this is a slip of the hand, and would only keep the solver busy. */
export const greatestArm = { sections: 40, vertebrae: 4000, cables: 160 } as const;

const version = (): z.ZodType<1> => z.literal(fileVersion).meta({ description: "version of the file's format" }) as z.ZodType<1>;
const name = (says: string) => z.string().min(1).meta({ description: says });
const count = (says: string, least: number, most: number) => z.int().min(least).max(most).meta({ description: says });

export function armFields(fields: Fields) {
  const { quantity, interval } = fields;
  const material = z
    .union([
      z.string().meta({ description: `a material by name: ${rodMaterials.map((m) => m.name).join(", ")}` }),
      group({
        name: name("what to call it"),
        "young-modulus": quantity("pressure", { says: "Young's modulus", above: 0 }),
        "poisson-ratio": quantity("ratio", { says: "Poisson's ratio", from: 0, upTo: 0.5 }),
        density: quantity("density", { says: "density", above: 0 }),
        "allowed-strain": quantity("ratio", { says: "strain allowed once, at rest or slow", above: 0 }),
        "fatigue-strain": quantity("ratio", { says: "strain amplitude allowed for many cycles", above: 0 }),
        expansion: quantity("expansion", { says: "coefficient of thermal expansion; 0 when absent" }).optional(),
        "linear-strain": quantity("ratio", { says: "strain at which it leaves its straight line", above: 0 }).optional(),
        "plateau-modulus": quantity("pressure", {
          says: "slope beyond that strain; when absent the straight line is kept and only warned of",
          above: 0,
        }).optional(),
        "plateau-rise": quantity("stress-rise", { says: "how much the stress there rises with temperature; 0 when absent" }).optional(),
      }),
    ])
    .meta({ id: "rod-material" });
  const stock = z
    .union([
      z.string().meta({ description: `a cable by name: ${cableStocks.map((c) => c.name).join(", ")}` }),
      group({
        name: name("what to call it"),
        diameter: quantity("length", { says: "diameter of the strand", above: 0 }),
        "effective-modulus": quantity("pressure", { says: "modulus on the full circle of the diameter", above: 0 }),
        "breaking-load": quantity("force", { says: "breaking load", above: 0 }),
        "mass-per-length": quantity("mass-per-length", { says: "mass per length", from: 0 }),
        expansion: quantity("expansion", { says: "coefficient of thermal expansion; 0 when absent" }).optional(),
        creep: quantity("ratio", { says: "strain it may creep by over a job at its working load; 0 when absent", from: 0 }).optional(),
      }),
    ])
    .meta({ id: "cable-stock" });
  const diameter = quantity("length", { says: "diameter of each rod", above: 0 });
  const backbone = z.discriminatedUnion("layout", [
    group({ layout: z.literal("single").meta({ description: "one rod on the axis" }), diameter, material }),
    group({
      layout: z.literal("twin").meta({ description: "two rods side by side, their plane turned by 90 degrees from vertebra to vertebra" }),
      diameter,
      spacing: quantity("length", { says: "centre to centre of the pair", above: 0 }),
      material,
    }),
    group({
      layout: z.literal("rods").meta({ description: "any set of rods" }),
      alternating: z.boolean().default(false).meta({ description: "the set turns by 90 degrees from vertebra to vertebra" }),
      rods: z
        .array(
          group({
            x: quantity("length", { says: "place across the vertebra" }),
            y: quantity("length", { says: "place across the vertebra" }),
            diameter,
            material,
            attachment: z
              .enum(["clamped", "sliding"])
              .default("clamped")
              .meta({ description: "held in every vertebra, or sliding through it" }),
          }),
        )
        .min(1)
        .max(16),
    }),
  ]);
  const cables = group({
    count: count(
      "number of the section's own cables, spread evenly and staggered from section to section; 0 for a passive length before the first section that has any",
      0,
      64,
    ).optional(),
    angles: z
      .array(quantity("angle", { says: "angle about the arm's axis, from x towards y" }))
      .max(64)
      .optional(),
    "circle-radius": quantity("length", { says: "radius of the circle the holes lie on", above: 0 }),
    hole: quantity("length", { says: "diameter of a hole", above: 0 }),
    "hole-edge": quantity("length", {
      says: "radius to which the edges of the holes are rounded: a cable pulled round them keeps less of its strength; not counted when absent",
      above: 0,
    }).optional(),
    stock,
    pretension: quantity("force", { says: "least tension the slackest cable is held at", from: 0 }),
  });
  const section = group({
    name: name("what to call it").optional(),
    count: count("this many equal sections one after the other", 1, greatestArm.sections).default(1),
    spans: count("vertebrae in the section", 1, greatestArm.vertebrae),
    pitch: quantity("length", { says: "vertebra centre to vertebra centre, straight", above: 0 }),
    hinge: quantity("length", { says: "flexible gap between the faces of two vertebrae", above: 0 }),
    "effective-length": quantity("length", {
      says: "length over which the rods really bend (clamps give); the hinge when absent",
      above: 0,
    }).optional(),
    diameter: quantity("length", { says: "outer diameter of the vertebrae", above: 0 }),
    channel: quantity("length", { says: "diameter of the working channel", default: "0 mm", from: 0 }),
    "vertebra-mass": quantity("mass", { says: "mass of one bare vertebra", from: 0 }).optional(),
    "vertebra-density": quantity("density", {
      says: "density of the vertebra's material: its mass follows from its volume less holes",
      above: 0,
    }).optional(),
    "vertebra-expansion": quantity("expansion", {
      says: "coefficient of thermal expansion of the vertebrae; that of the rods when absent",
    }).optional(),
    backbone,
    cables,
    hoses: z
      .array(
        group({
          name: name("what to call it"),
          "bending-stiffness": quantity("bending-stiffness", { says: "bending stiffness", from: 0 }),
          "twisting-stiffness": quantity("bending-stiffness", { says: "twisting stiffness", from: 0 }),
          "mass-per-length": quantity("mass-per-length", { says: "mass per length", from: 0 }),
          loss: quantity("ratio", {
            says: "share of its bending moment that it keeps back when the bend is reversed; 0 when absent",
            from: 0,
            upTo: 1,
          }).optional(),
          density: quantity("density", {
            says: "density of its material, for what it displaces; 1300 kg/m3 when absent",
            above: 0,
          }).optional(),
          "least-radius": quantity("length", { says: "least radius it may be bent to; any when absent", above: 0 }).optional(),
        }),
      )
      .default([])
      .meta({ description: "hoses, leads and skins that run through the whole section" }),
    "joint-limit": quantity("angle", {
      says: "greatest angle between two vertebrae; where their rims meet when absent",
      above: 0,
      upTo: Math.PI,
    }).optional(),
    "stop-stiffness": quantity("joint-stiffness", {
      says: "moment a turn beyond the joint limit, where vertebrae touch; what their rods then stretch by when absent, 0 for no stop",
      from: 0,
    }).optional(),
    joint: group({
      kind: z
        .enum(["pin", "rocking"])
        .meta({ description: "a pin bends about one axis, rocking faces about any; both neither twist nor give along the arm" }),
      radius: quantity("length", { says: "of the pin, or of the faces that roll on each other", above: 0 }),
      friction: fields.ranged("ratio", {
        says: "moment it keeps back over force through it x radius",
        default: "0.1 .. 0.2",
        from: 0,
        upTo: 1,
      }),
    })
      .optional()
      .meta({ description: "what joins the vertebrae beside the rods; the rods alone when absent" }),
    play: group({
      bend: fields.ranged("angle", {
        says: "a joint turns so far freely, about any axis across the arm, end to end",
        default: "0 deg",
        from: 0,
      }),
      twist: fields.ranged("angle", { says: "the same about the arm's axis", default: "0 deg", from: 0 }),
      hole: fields
        .ranged("length", { says: "room of a cable in its hole, side to side; the hole less the cable when absent", from: 0 })
        .optional(),
    })
      .optional()
      .meta({ description: "how loose the joints are; every margin takes the most of it, all one way" }),
    rest: z
      .tuple([
        quantity("curvature", { says: "curvature at rest about x" }),
        quantity("curvature", { says: "curvature at rest about y" }),
        quantity("curvature", { says: "twist at rest about z" }),
      ])
      .optional(),
  }).meta({ id: "section" });
  const ratings = group({
    temperature: quantity("temperature", { says: "greatest temperature that it bears", above: 0 }).optional(),
    dose: quantity("dose", { says: "greatest absorbed dose that it bears over its life", above: 0 }).optional(),
  })
    .optional()
    .meta({ description: "what its materials bear; zones of a job are held against it" });
  const tool = group({
    name: name("what to call it"),
    mass: quantity("mass", { says: "mass", from: 0 }),
    density: quantity("density", {
      says: "mean density, for what it displaces; a closed cylinder of its diameter and length when absent",
      above: 0,
    }).optional(),
    diameter: quantity("length", { says: "outer diameter", from: 0 }),
    length: quantity("length", { says: "how far it stands out beyond the last vertebra's centre", from: 0 }),
    centre: z
      .tuple([
        quantity("length", { says: "centre of mass, x, from the last vertebra's centre" }),
        quantity("length", { says: "centre of mass, y" }),
        quantity("length", { says: "centre of mass, z (along the arm)" }),
      ])
      .optional(),
    camera: group({
      "field-of-view": quantity("angle", { says: "full angle of view", above: 0, upTo: Math.PI * (179 / 180) }),
      pixels: count("pixels across that angle", 1, 100000),
      "pixels-down": count("pixels the other way, square ones; as many when absent", 1, 100000).optional(),
      focus: interval("length", {
        says: "nearest .. farthest distance along its axis at which the picture is sharp; not judged when absent",
        above: 0,
      }).optional(),
    }).optional(),
    ratings,
  });
  const drum = group({
    "core-diameter": quantity("length", { says: "diameter of the core the vertebrae lie on", above: 0 }),
    lay: z.enum(["helix", "spiral"]).default("helix").meta({ description: "turns side by side along the drum, or each on the one before" }),
    pitch: quantity("length", {
      says: "distance of neighbouring turns of a helix along the drum; a twentieth more than the widest vertebra when absent",
      above: 0,
    }).optional(),
    width: quantity("length", { says: "between the flanges; as wide as it takes when absent", above: 0 }).optional(),
    "flange-diameter": quantity("length", { says: "diameter of the flanges; as large as it takes when absent", above: 0 }).optional(),
    cover: quantity("length", {
      says: "free space between the coil and a cover or band that keeps it on the core; none when absent",
      from: 0,
    }).optional(),
    "bent-by": z
      .enum(["sections", "drum"])
      .default("sections")
      .meta({ description: "what bends it round the core: its own sections, or core and cover, the cables kept at their pretension" }),
    start: quantity("angle", {
      says: "where the base lies about the drum's axis",
      default: "0 deg",
      from: -2 * Math.PI,
      upTo: 2 * Math.PI,
    }),
    roll: quantity("angle", {
      says: "direction of the bend about the arm's axis at its base; the easiest for the joints when absent",
    }).optional(),
    friction: fields.ranged("ratio", { says: "friction of the arm on the core", default: "0.1 .. 0.3", from: 0, upTo: 1 }),
    pull: quantity("force", { says: "pull on the arm at the drum's mouth while it is wound up", default: "0 N", from: 0, upTo: 1000 }),
  });
  const fittedName = z.enum(["stiffness", "stretch", "effective-length", "hole-friction", "conduit-friction", "play"]);
  const fitted = group({
    date: z
      .string()
      .regex(/^\d{4}-\d{2}-\d{2}$/)
      .meta({ description: "day of the fit, as 2026-03-01" }),
    tables: z
      .array(
        group({
          file: name("table of measurements"),
          hash: z
            .string()
            .regex(/^[0-9a-f]{16}$/)
            .meta({ description: "its content hash" }),
        }),
      )
      .min(1)
      .meta({ description: "what the arm was fitted to" }),
    spreads: group({
      stiffness: quantity("ratio", { says: "of the backbone's modulus, as a share of it", from: 0 }).optional(),
      stretch: quantity("ratio", { says: "of the give of cables, conduit and drive, as a share of it", from: 0 }).optional(),
      "effective-length": quantity("length", { says: "of the length the rods bend over", from: 0 }).optional(),
      "hole-friction": quantity("ratio", { says: "of the coefficient in the holes", from: 0 }).optional(),
      "conduit-friction": quantity("ratio", { says: "of the coefficient in the conduit", from: 0 }).optional(),
      play: quantity("angle", { says: "of the play of a joint across the arm", from: 0 }).optional(),
    })
      .default({})
      .meta({ description: "one standard deviation of each value that the tables told" }),
    correlations: z
      .array(group({ between: z.tuple([fittedName, fittedName]), is: z.number().min(-1).max(1).meta({ description: "-1 to 1" }) }))
      .default([])
      .meta({ description: "of two fitted values" }),
    notes: z.array(z.string()).default([]).meta({ description: "what the tables do not tell" }),
  }).meta({ id: "fitted" });
  return group({
    withy: version(),
    name: name("what to call the arm"),
    sections: z.union([section, z.array(section).min(1)]).meta({ description: "one pattern, or a list from base to tip" }),
    tool: tool.optional(),
    ratings,
    drum: drum.optional().meta({ description: "the drum the arm is kept on: its base in the middle, its tip paid out" }),
    "conduit-length": quantity("length", { says: "cable between the drive and the guide end of the arm", default: "0 m", from: 0 }),
    "conduit-stiffness": quantity("force", {
      says: "modulus x area of one conduit, which the pull of its cable shortens; it does not shorten when absent",
      above: 0,
    }).optional(),
    "drive-stiffness": quantity("stiffness", {
      says: "how stiffly a locked drive holds its cable (gear, spool, frame), at the cable; rigid when absent",
      above: 0,
    }).optional(),
    drives: driveFields(fields)
      .optional()
      .meta({ description: "the drives outside, one a cable and all alike; what is left out is not judged" }),
    "pull-out": group({
      strength: quantity("force", { says: "pull at which the weak link gives", above: 0 }),
      "weak-link": name("name of the section in which it is; the connector at the arm's base when absent").optional(),
    })
      .optional()
      .meta({ description: "what was chosen to give first when the arm is pulled out; computed from rods and cables when absent" }),
    damping: fields
      .ranged("ratio", {
        says: "damping of the arm's first swing, as a share of critical; 0.05, from 0.02 to 0.1, when absent",
        from: 0,
        upTo: 0.99,
      })
      .optional(),
    friction: group({
      holes: fields.ranged("ratio", {
        says: "coefficient of a cable in the holes of the vertebrae",
        default: "0.1 .. 0.2",
        from: 0,
        upTo: 1,
      }),
      conduit: fields.ranged("ratio", { says: "coefficient of a cable in its conduit", default: "0.05 .. 0.15", from: 0, upTo: 1 }),
      "conduit-turn": quantity("angle", {
        says: "turning of a conduit from drive to guide, every bend counted as positive; 90 deg when absent, 0 without a conduit",
        from: 0,
        upTo: 20 * Math.PI,
      }).optional(),
    })
      .prefault({} as never)
      .meta({ description: "what rubs where cables slide" }),
    "conduit-expansion": quantity("expansion", { says: "coefficient of thermal expansion of the conduits; 0 when absent" }).optional(),
    base: group({
      turn: z
        .tuple([
          quantity("turn-compliance", { says: "turn of the guide's exit about x of the port a moment there", from: 0 }),
          quantity("turn-compliance", { says: "the same about y", from: 0 }),
          quantity("turn-compliance", { says: "the same about the port's axis", from: 0 }),
        ])
        .optional(),
      shift: z
        .tuple([
          quantity("shift-compliance", { says: "shift of the guide's exit along x of the port a force there", from: 0 }),
          quantity("shift-compliance", { says: "the same along y", from: 0 }),
          quantity("shift-compliance", { says: "the same along the port's axis", from: 0 }),
        ])
        .optional(),
      compliance: z.array(z.number()).length(36).optional().meta({
        description:
          "instead of turn and shift, the whole 6 x 6 matrix, row by row, as plain numbers in rad, m, N m and N: rotations, then shifts, a unit moment, then a unit force",
      }),
      "guide-play": fields.ranged("length", { says: "room of the arm in the guide, side to side", from: 0 }).optional(),
      "guide-grip": quantity("length", { says: "length over which the guide grips the arm; given beside guide-play", above: 0 }).optional(),
    })
      .optional()
      .meta({ description: "what holds the arm" }),
    "cable-design-factor": quantity("ratio", { says: "breaking load over working load", default: "3", from: 1 }),
    "termination-factor": quantity("ratio", { says: "strength left at a cable's end", default: "0.85", above: 0, upTo: 1 }),
    fitted: fitted
      .optional()
      .meta({ description: "written by the fit: that the numbers above were fitted to measurements, and how sure they are" }),
  });
}

export type ArmFile = z.infer<ReturnType<typeof armFields>>;
export type SectionFile = Exclude<ArmFile["sections"], readonly unknown[]>;
export type MaterialFile = SectionFile["backbone"] extends infer B ? (B extends { material: infer M } ? M : never) : never;
