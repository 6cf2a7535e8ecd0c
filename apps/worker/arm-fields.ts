/** The numbers of an arm that people change, read from its file as they are written there. */
import { isMap, isScalar, isSeq, parseDocument, type YAMLMap } from "yaml";
import { cableStocks, rodMaterials } from "../../src/job/index.ts";
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
];

/** @param text the arm's file; one that cannot be read gives no fields (opening the job says why) */
export function listArmFields(file: string, text: string): ArmField[] {
  const root = parseDocument(text, { prettyErrors: false }).contents;
  if (!isMap(root)) return [];
  const sections = root.get("sections", true);
  const patterns: (readonly [string, YAMLMap])[] = isMap(sections)
    ? [["sections", sections]]
    : isSeq(sections)
      ? sections.items.flatMap((item, i) => (isMap(item) ? [[`sections[${i}]`, item] as const] : []))
      : [];
  if (patterns.length === 0) return [];
  const fields: ArmField[] = [];
  for (const wanted of ofSections) {
    const found = patterns.flatMap(([path, section], i) => {
      const value = textAt(section, wanted, text);
      return value === undefined ? [] : [{ i, path: [path, ...wanted.keys].join("."), value }];
    });
    // sections that carry the same number change together; those that differ stand apart
    for (const value of new Set(found.map((one) => one.value))) {
      const same = found.filter((one) => one.value === value);
      const [first, ...also] = same.map((one) => one.path) as [string, ...string[]];
      const group = same.length === patterns.length ? "Sections" : `Section ${same.map((one) => one.i + 1).join(", ")}`;
      fields.push({ file, path: first, also, group, text: value, ...said(wanted) });
    }
  }
  for (const wanted of ofArm) {
    const value = textAt(root, wanted, text);
    if (value !== undefined)
      fields.push({ file, path: wanted.keys.join("."), also: [], group: "Tool and cables", text: value, ...said(wanted) });
  }
  return fields;
}

function said({ label, part, choices, absent, first }: Wanted): Pick<ArmField, "label" | "part" | "choices" | "absent" | "first"> {
  const more = { ...(choices === undefined ? {} : { choices }), ...(absent === undefined ? {} : { absent }) };
  return { label, part, first: first === true, ...more };
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
