/** The handful of an arm's numbers that people change first, read from its file as they are written there. */
import { isMap, isScalar, isSeq, parseDocument, type YAMLMap } from "yaml";
import { cableStocks } from "../../src/job/index.ts";
import type { ArmField } from "./protocol.ts";

type Key = readonly string[];

interface Wanted {
  readonly keys: Key;
  readonly label: string;
  readonly choices?: readonly string[];
}

const ofSections: readonly Wanted[] = [
  { keys: ["cables", "pretension"], label: "Pretension" },
  { keys: ["cables", "stock"], label: "Cable", choices: cableStocks.map((stock) => stock.name) },
  { keys: ["backbone", "diameter"], label: "Rod diameter" },
  { keys: ["hinge"], label: "Hinge gap" },
  { keys: ["pitch"], label: "Pitch" },
  { keys: ["spans"], label: "Vertebrae a section" },
  { keys: ["count"], label: "Sections alike" },
];

const ofArm: readonly Wanted[] = [
  { keys: ["tool", "mass"], label: "Tool mass" },
  { keys: ["tool", "length"], label: "Tool length" },
  { keys: ["cable-design-factor"], label: "Cable design factor" },
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
  const fields: ArmField[] = [];
  for (const wanted of ofSections) {
    const found = patterns.flatMap(([path, section], i) => {
      const value = textAt(section, wanted.keys, text);
      return value === undefined ? [] : [{ i, path: [path, ...wanted.keys].join("."), value }];
    });
    // sections that carry the same number change together; those that differ stand apart
    for (const value of new Set(found.map((one) => one.value))) {
      const same = found.filter((one) => one.value === value);
      const [first, ...also] = same.map((one) => one.path) as [string, ...string[]];
      const group = same.length === patterns.length ? "Sections" : `Section ${same.map((one) => one.i + 1).join(", ")}`;
      fields.push({ file, path: first, also, group, label: wanted.label, text: value, ...choicesOf(wanted) });
    }
  }
  for (const wanted of ofArm) {
    const value = textAt(root, wanted.keys, text);
    if (value !== undefined)
      fields.push({ file, path: wanted.keys.join("."), also: [], group: "Tool and cables", label: wanted.label, text: value });
  }
  return fields;
}

function choicesOf(wanted: Wanted): { choices: readonly string[] } | Record<string, never> {
  return wanted.choices === undefined ? {} : { choices: wanted.choices };
}

/** The value as it stands in the text, without its quotes. */
function textAt(map: YAMLMap, keys: Key, text: string): string | undefined {
  const node = map.getIn([...keys], true);
  if (!isScalar(node) || node.range === null || node.range === undefined) return undefined;
  return typeof node.value === "string" ? node.value : text.slice(node.range[0], node.range[1]).trim();
}
