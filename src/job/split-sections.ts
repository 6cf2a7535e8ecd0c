/** An arm file whose sections are told once for many -> the same arm with every section written out, so that one can be changed alone. */
import { isMap, isScalar, isSeq, type Node, type Pair, type YAMLMap } from "yaml";
import { InputError } from "../base/index.ts";
import { loadArm } from "./load-arm.ts";
import { childOf, readYamlText, type YamlText } from "./yaml-text.ts";

/**
 * Comments inside a section are repeated with it; all outside the sections stays byte for byte. Where each section stands alone
 * already, the text comes back as it is.
 *
 * @throws InputError the file's own faults; `splice.value` when the text cannot be split into the same arm
 */
export function splitSections(text: string): string {
  const yaml = readYamlText("", text);
  if (!("data" in yaml)) throw new InputError(yaml);
  const sections = childOf(yaml.root, "sections")?.value;
  const patterns = isMap(sections) ? [sections] : isSeq(sections) && sections.items.every((item) => isMap(item)) ? sections.items : [];
  if (isSeq(sections) && patterns.every((one) => countOf(one as YAMLMap) === 1)) return text;
  const before = describe(text);
  const [from, to] = rangeOf(yaml, sections as Node);
  const entries = patterns.flatMap((pattern) => copies(yaml, pattern as YAMLMap));
  const split = `${text.slice(0, from)}\n${entries.join("")}${text.slice(to)}`;
  if (isSame(split, before)) return split;
  const hint = "Write the sections as a list in the file.";
  throw new InputError([{ code: "splice.value", path: "sections", problem: "cannot be told apart in this text.", hint }]);
}

/** From behind the key's colon to the end of the sections' last line. */
function rangeOf({ text }: YamlText, sections: Node): readonly [number, number] {
  const [start, end] = sections.range ?? [0, 0];
  const colon = text.lastIndexOf(":", start);
  const from = /^:[^\S\n]*(?:#[^\n]*)?\n/.test(text.slice(colon)) ? text.indexOf("\n", colon) : colon + 1;
  return [from, lineEnd(text, end)];
}

/** The pattern as so many entries of a list, each with its own name. */
function copies({ text }: YamlText, pattern: YAMLMap): string[] {
  const count = countOf(pattern);
  const name = pattern.get("name");
  const pairs = pattern.items.filter(({ key }) => !(isScalar(key) && key.value === "count"));
  const written = (k: number): string[] =>
    pairs.map(({ key, value }, p) => {
      if (count > 1 && isScalar(key) && key.value === "name") return `name: ${JSON.stringify(`${String(name)} ${k + 1}`)}`;
      const last = (value ?? key) as Node;
      return pattern.flow
        ? text.slice(startOf(key as Node), endOf(last))
        : commentsAbove(text, pattern, pairs[p] as Pair) + linesOf(text, key as Node, last);
    });
  return Array.from({ length: count }, (_, k) =>
    pattern.flow ? `  - { ${written(k).join(", ")} }\n` : `  - ${written(k).join("\n    ")}\n`,
  );
}

/** Lines of comment between a key and the one before it, moved to where keys of an entry stand. */
function commentsAbove(text: string, pattern: YAMLMap, pair: Pair): string {
  const before = pattern.items[pattern.items.indexOf(pair as never) - 1];
  if (before === undefined) return "";
  const from = lineEnd(text, endOf((before.value ?? before.key) as Node));
  const lines = text.slice(from, startOf(pair.key as Node)).split(/\r?\n/);
  return lines
    .map((line) => line.trim())
    .filter((line) => line.startsWith("#"))
    .map((line) => `${line}\n    `)
    .join("");
}

/** The lines of one key, moved to where keys of an entry stand. */
function linesOf(text: string, key: Node, value: Node): string {
  const from = startOf(key);
  const column = from - (text.lastIndexOf("\n", from - 1) + 1);
  const own = text.slice(from, lineEnd(text, Math.max(from, endOf(value))));
  const deeper = `\n${" ".repeat(column)}`;
  return own.replace(/\n$/, "").replaceAll(deeper, "\n    ");
}

function countOf(pattern: YAMLMap): number {
  const count = pattern.get("count");
  return typeof count === "number" ? count : 1;
}

function startOf(node: Node): number {
  return node.range?.[0] ?? 0;
}

function endOf(node: Node): number {
  return node.range?.[1] ?? 0;
}

function lineEnd(text: string, at: number): number {
  if (text[at - 1] === "\n") return at;
  const end = text.indexOf("\n", at);
  return end < 0 ? text.length : end + 1;
}

function isSame(split: string, before: string): boolean {
  try {
    return describe(split) === before;
  } catch (error) {
    if (error instanceof InputError) return false;
    throw error;
  }
}

function describe(text: string): string {
  const loaded = loadArm("arm", new Map([["arm", new TextEncoder().encode(text)]]));
  return loaded.kind === "arm" ? JSON.stringify(loaded.arm) : "";
}
