/** Changes one value in a YAML text where it stands: comments, order and layout around it stay byte for byte. */
import { isCollection, isMap, isPair, isScalar, type Node, type YAMLMap } from "yaml";
import { type FaultCode, InputError } from "../base/index.ts";
import { childOf, type PathStep, parsePath, placeOf, readYamlText, type YamlText } from "./yaml-text.ts";

/**
 * @param path     as `sections.cables.pretension` or `bodies[2].at[0]`; keys that are not there yet are added
 * @param newText  the value as it would be written in the file, on one line: `12 mm`, `[0, 0, -1]`
 * @throws InputError `splice.path`, `splice.value`, and the text's own faults of syntax
 */
export function spliceValue(text: string, path: string, newText: string): string {
  const yaml = readYamlText("", text);
  if (!("data" in yaml)) throw new InputError(yaml);
  const steps = parsePath(path);
  if (steps === undefined || steps.length === 0)
    throw fault("splice.path", path, `is ${path || "empty"}, which is no path.`, "Write it as sections[2].pitch.");
  const written = newText.trim();
  if (written === "" || /[\r\n]/.test(written))
    throw fault("splice.value", path, "is empty or has several lines.", "Give the new value on one line.");

  const value = readValue(written);
  const wanted = JSON.stringify(withValue(yaml.data, steps, value));
  for (const form of typeof value === "string" && value !== written
    ? [written, JSON.stringify(value)]
    : [written, JSON.stringify(written)]) {
    const spliced = splice(yaml, steps, form, path);
    const again = readYamlText("", spliced);
    if ("data" in again && JSON.stringify(again.data) === wanted) return spliced;
    if (typeof value !== "string") break;
  }
  throw fault(
    "splice.value",
    path,
    `cannot become ${written}.`,
    "Give one value, or a list in brackets, as it would stand in the file.",
    yaml,
    steps,
  );
}

function splice(yaml: YamlText, steps: readonly PathStep[], form: string, path: string): string {
  const { text } = yaml;
  let node: Node | null = yaml.root;
  for (let k = 0; k < steps.length; k++) {
    const found = childOf(node, steps[k] as PathStep);
    if (found === undefined) return addKeys(yaml, node, steps.slice(k), form, path);
    const last = k === steps.length - 1;
    node = found.value;
    if (!last) continue;
    if (isCollection(node) && !node.flow) {
      throw fault("splice.path", path, "is a group of lines, not one value.", "Name one value within it.", yaml, steps);
    }
    const [from, to] = node?.range ?? [];
    if (from === undefined || to === undefined) break;
    const blank = from === to && text[from - 1] === ":" ? " " : "";
    return text.slice(0, from) + blank + form + text.slice(to);
  }
  throw fault("splice.path", path, "has no value that can be changed.", "Name one value.", yaml, steps);
}

/** Adds what is missing of the path at the end of the group that is there. */
function addKeys(yaml: YamlText, parent: Node | null, missing: readonly PathStep[], form: string, path: string): string {
  const { text } = yaml;
  if (!isMap(parent) || missing.some((step) => typeof step === "number")) {
    throw fault("splice.path", path, "is not in the file.", "Name a value that is there, or a key of a group.", yaml, []);
  }
  const first = parent.items[0];
  if (parent.flow || first === undefined) {
    const nested = missing.slice(1).reduceRight<string>((inner, step) => `{ ${step}: ${inner} }`, form);
    const close = (parent.range?.[1] ?? 0) - 1;
    const body = text.slice(0, close).replace(/[\s,]*$/, "");
    return `${body}${first === undefined ? " " : ", "}${missing[0]}: ${nested} ${text.slice(close)}`;
  }
  const indent = indentOf(yaml, parent);
  const lineEnd = text.includes("\r\n") ? "\r\n" : "\n";
  const lines = missing.map((step, k) => `${indent}${"  ".repeat(k)}${step}:${k === missing.length - 1 ? ` ${form}` : ""}${lineEnd}`);
  const end = endOfLastItem(text, parent);
  const newline = end > 0 && text[end - 1] !== "\n" ? lineEnd : "";
  return text.slice(0, end) + newline + lines.join("") + text.slice(end);
}

function indentOf(yaml: YamlText, map: YAMLMap): string {
  const key = map.items[0]?.key;
  const offset = isScalar(key) ? (key.range?.[0] ?? 0) : 0;
  return " ".repeat(yaml.lines.linePos(offset).col - 1);
}

/** The start of the line after the last line of the last item's own value. */
function endOfLastItem(text: string, map: YAMLMap): number {
  let node: unknown = map;
  while (isCollection(node) && !node.flow && node.items.length > 0) {
    const item: unknown = node.items[node.items.length - 1];
    node = isPair(item) ? (item.value ?? item.key) : item;
  }
  const end = (node as Node).range?.[1] ?? text.length;
  // a block scalar ends after its own last line break
  if (end > 0 && text[end - 1] === "\n") return end;
  const newline = text.indexOf("\n", end);
  return newline < 0 ? text.length : newline + 1;
}

/** What the text means as a value; text that is no value on one line of a file is taken as it stands. */
function readValue(written: string): unknown {
  const probe = readYamlText("", `value: ${written}\n`);
  if (!("data" in probe)) return written;
  const { value, ...more } = probe.data as Record<string, unknown>;
  if (Object.keys(more).length > 0 || (value === null && !/^(null|~)$/i.test(written))) return written;
  if (typeof value === "string" && !/^["']/.test(written) && value !== written) return written;
  return value;
}

function withValue(data: unknown, steps: readonly PathStep[], value: unknown): unknown {
  const [step, ...rest] = steps;
  if (step === undefined) return value;
  const inner = data !== null && typeof data === "object" ? (data as Record<PathStep, unknown>)[step] : undefined;
  const changed = withValue(inner, rest, value);
  if (Array.isArray(data)) return data.map((entry, k) => (k === step ? changed : entry));
  return { ...(data as object | null), [step]: changed };
}

function fault(code: FaultCode, path: string, problem: string, hint: string, yaml?: YamlText, steps: readonly PathStep[] = []): InputError {
  const place = yaml === undefined ? {} : { line: placeOf(yaml, steps).line, column: placeOf(yaml, steps).column };
  return new InputError([{ code, path, problem, hint, ...place }]);
}
