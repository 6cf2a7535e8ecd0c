/** The numbers of an arm that people change, read from its file as they are written there. */
import { isMap, isScalar, isSeq, parseDocument, type YAMLMap } from "yaml";
import { InputError } from "../../src/base/index.ts";
import { cableStocks, rodMaterials, splitSections } from "../../src/job/index.ts";
import type { ArmField } from "./protocol.ts";

type Key = readonly string[];

interface Wanted {
  readonly keys: Key;
  readonly label: string;
  readonly part: string;
  readonly choices?: readonly string[];
  /** it may be left out of the file: what stands in for it then */
  readonly absent?: string;
  /** among the handful that is changed first */
  readonly first?: true;
}

const layouts = ["single", "twin"] as const;

const ofSections: readonly Wanted[] = [
  { part: "Cables", keys: ["cables", "pretension"], label: "Pretension", first: true },
  { part: "Cables", keys: ["cables", "stock"], label: "Cable", choices: cableStocks.map((stock) => stock.name), first: true },
  { part: "Cables", keys: ["cables", "count"], label: "Cables a section" },
  { part: "Cables", keys: ["cables", "circle-radius"], label: "Radius of the holes' circle" },
  { part: "Cables", keys: ["cables", "hole"], label: "Cable hole" },
  { part: "Backbone", keys: ["backbone", "layout"], label: "Layout", choices: layouts },
  { part: "Backbone", keys: ["backbone", "diameter"], label: "Rod diameter", first: true },
  { part: "Backbone", keys: ["backbone", "spacing"], label: "Rod spacing" },
  { part: "Backbone", keys: ["backbone", "material"], label: "Rod material", choices: rodMaterials.map((one) => one.name) },
  { part: "Vertebrae", keys: ["hinge"], label: "Hinge gap", first: true },
  { part: "Vertebrae", keys: ["effective-length"], label: "Effective length", absent: "the hinge gap" },
  { part: "Vertebrae", keys: ["pitch"], label: "Pitch", first: true },
  { part: "Vertebrae", keys: ["spans"], label: "Vertebrae a section", first: true },
  { part: "Vertebrae", keys: ["count"], label: "Sections alike", first: true },
  { part: "Vertebrae", keys: ["diameter"], label: "Outer diameter" },
  { part: "Vertebrae", keys: ["channel"], label: "Working channel", absent: "none" },
  { part: "Vertebrae", keys: ["joint-limit"], label: "Joint limit", absent: "where the rims meet" },
  { part: "Vertebrae", keys: ["stop-stiffness"], label: "Stiffness of the stop", absent: "of the rods" },
  { part: "Vertebrae", keys: ["play", "bend"], label: "Play of a joint", absent: "none" },
  { part: "Vertebrae", keys: ["vertebra-mass"], label: "Mass of a vertebra" },
  { part: "Vertebrae", keys: ["vertebra-density"], label: "Density of a vertebra" },
];

const ofArm: readonly Wanted[] = [
  { part: "Tool and cables", keys: ["tool", "mass"], label: "Tool mass", first: true },
  { part: "Tool and cables", keys: ["tool", "length"], label: "Tool length", first: true },
  { part: "Tool and cables", keys: ["tool", "diameter"], label: "Tool diameter" },
  { part: "Tool and cables", keys: ["conduit-length"], label: "Conduit length", absent: "0 m" },
  { part: "Tool and cables", keys: ["cable-design-factor"], label: "Cable design factor", absent: "3", first: true },
  { part: "Tool and cables", keys: ["termination-factor"], label: "Strength left at the ends", absent: "0.85" },
  { part: "Tool and cables", keys: ["friction", "holes"], label: "Friction in the holes", absent: "0.1 .. 0.2" },
  { part: "Tool and cables", keys: ["friction", "conduit"], label: "Friction in the conduit", absent: "0.05 .. 0.15" },
  { part: "Tool and cables", keys: ["conduit-stiffness"], label: "Stiffness of a conduit", absent: "does not shorten" },
  { part: "Tool and cables", keys: ["drive-stiffness"], label: "Stiffness of a drive", absent: "rigid" },
  { part: "Tool and cables", keys: ["damping"], label: "Damping", absent: "0.02 .. 0.1" },
];

/** @param text the arm's file; one that cannot be read gives no fields (opening the job says why) */
export function listArmFields(file: string, text: string): ArmField[] {
  const root = parseDocument(text, { prettyErrors: false }).contents;
  if (!isMap(root)) return [];
  const patterns = patternsOf(root);
  if (patterns.length === 0) return [];
  const fields: ArmField[] = [];
  for (const wanted of ofSections) {
    const found = patterns.flatMap((pattern, i) => {
      const value = textAt(pattern.map, wanted, text);
      return value === undefined ? [] : [{ i, path: [pattern.path, ...wanted.keys].join("."), value, sections: pattern.sections }];
    });
    // sections that carry the same number change together; those that differ stand apart
    for (const value of new Set(found.map((one) => one.value))) {
      const same = found.filter((one) => one.value === value);
      const [first, ...also] = same.map((one) => one.path) as [string, ...string[]];
      const group = same.length === patterns.length ? "Sections" : `Section ${same.map((one) => one.i + 1).join(", ")}`;
      fields.push({ file, path: first, also, group, text: value, sections: same.flatMap((one) => one.sections), ...said(wanted) });
    }
  }
  for (const wanted of ofArm) {
    const value = textAt(root, wanted, text);
    if (value !== undefined)
      fields.push({ file, path: wanted.keys.join("."), also: [], group: "Tool and cables", text: value, sections: [], ...said(wanted) });
  }
  return fields;
}

/** @returns [section] its own numbers, as if it stood in the file by itself; none of a text whose sections cannot be told apart */
export function listSectionFields(file: string, text: string): ArmField[][] {
  let split: string;
  try {
    split = splitSections(text);
  } catch (error) {
    if (error instanceof InputError) return [];
    throw error;
  }
  const root = parseDocument(split, { prettyErrors: false }).contents;
  if (!isMap(root)) return [];
  return patternsOf(root).map(({ path, map }, s) =>
    ofSections.flatMap((wanted) => {
      const value = textAt(map, wanted, split);
      if (value === undefined) return [];
      const group = `Section ${s + 1}`;
      return [{ file, path: [path, ...wanted.keys].join("."), also: [], group, text: value, sections: [s], alone: true, ...said(wanted) }];
    }),
  );
}

interface Pattern {
  readonly path: string;
  readonly map: YAMLMap;
  /** of the arm, from 0 */
  readonly sections: readonly number[];
}

function patternsOf(root: YAMLMap): Pattern[] {
  const sections = root.get("sections", true);
  const maps: (readonly [string, YAMLMap])[] = isMap(sections)
    ? [["sections", sections]]
    : isSeq(sections)
      ? sections.items.flatMap((item, i) => (isMap(item) ? [[`sections[${i}]`, item] as const] : []))
      : [];
  let next = 0;
  return maps.map(([path, map]) => {
    const count = map.get("count");
    const own = Array.from({ length: typeof count === "number" ? Math.min(1000, Math.max(1, Math.floor(count))) : 1 }, () => next++);
    return { path, map, sections: own };
  });
}

function said({
  keys,
  label,
  part,
  choices,
  absent,
  first,
}: Wanted): Pick<ArmField, "key" | "label" | "part" | "choices" | "absent" | "first"> {
  const more = { ...(choices === undefined ? {} : { choices }), ...(absent === undefined ? {} : { absent }) };
  return { key: keys.join("."), label, part, first: first === true, ...more };
}

/** The value as it stands in the text, without its quotes; empty where the file may leave it out and does. */
function textAt(map: YAMLMap, { keys, absent, choices }: Wanted, text: string): string | undefined {
  const node = map.getIn([...keys], true);
  if (node === undefined) return absent === undefined ? undefined : "";
  if (!isScalar(node) || node.range === null || node.range === undefined) return undefined;
  const value = typeof node.value === "string" ? node.value : text.slice(node.range[0], node.range[1]).trim();
  // a layout of any set of rods is none that can be changed into another by one word
  return choices === layouts && !choices.includes(value) ? undefined : value;
}
