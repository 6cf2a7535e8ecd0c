/** Takes one key and its value out of a YAML text: comments, order and layout of the rest stay byte for byte. */
import { isMap, isScalar, type Node, type Pair, type YAMLMap } from "yaml";
import { InputError } from "../base/index.ts";
import { childOf, type PathStep, parsePath, readYamlText } from "./yaml-text.ts";

/**
 * @param path  as `sections.joint-limit`; a key that is not there leaves the text as it is
 * @throws InputError `splice.path`, and the text's own faults of syntax
 */
export function dropValue(text: string, path: string): string {
  const yaml = readYamlText("", text);
  if (!("data" in yaml)) throw new InputError(yaml);
  const steps = parsePath(path);
  if (steps === undefined || steps.length === 0) throw fault(path, "is no path.", "Write it as sections[2].pitch.");
  let parent: Node | null = yaml.root;
  for (const step of steps.slice(0, -1)) {
    const found = childOf(parent, step);
    if (found === undefined) return text;
    parent = found.value;
  }
  const found = childOf(parent, steps.at(-1) as PathStep);
  if (found === undefined) return text;
  if (!isMap(parent) || found.pair === undefined) throw fault(path, "is no key of a group.", "Name a key.");
  const dropped = parent.flow ? dropFromFlow(text, parent, found.pair) : dropLines(text, parent, found.pair);
  const again = readYamlText("", dropped);
  if ("data" in again && JSON.stringify(again.data) === JSON.stringify(without(yaml.data, steps))) return dropped;
  throw fault(path, "cannot be taken out of the text.", "Take it out of the file by hand.");
}

/** The key's line to the line before the next key, or to the end of its value's last line. */
function dropLines(text: string, map: YAMLMap, pair: Pair): string {
  const from = lineStart(text, keyStart(pair));
  // the first key of an entry stands behind the dash of its list
  const dash = /^(\s*-\s+)\S/.exec(text.slice(from));
  const to = lineEnd(text, Math.max(keyStart(pair), lastOf(pair)));
  const next = map.items[map.items.indexOf(pair as never) + 1] as Pair | undefined;
  if (dash === null) return text.slice(0, from) + text.slice(to);
  if (next === undefined) return text;
  return text.slice(0, from) + (dash[1] as string) + text.slice(keyStart(next));
}

function dropFromFlow(text: string, map: YAMLMap, pair: Pair): string {
  const index = map.items.indexOf(pair as never);
  const next = map.items[index + 1] as Pair | undefined;
  const before = map.items[index - 1] as Pair | undefined;
  if (next !== undefined) return text.slice(0, keyStart(pair)) + text.slice(keyStart(next));
  const from = before === undefined ? keyStart(pair) : lastOf(before);
  return text.slice(0, from) + text.slice(lastOf(pair));
}

function keyStart(pair: Pair): number {
  return (isScalar(pair.key) ? pair.key.range?.[0] : undefined) ?? 0;
}

function lastOf(pair: Pair): number {
  const node = (pair.value ?? pair.key) as Node;
  return node.range?.[1] ?? 0;
}

function lineStart(text: string, at: number): number {
  return text.lastIndexOf("\n", at - 1) + 1;
}

/** Past the line break of the line that `at` stands in; a group's value ends at the break of its own last line already. */
function lineEnd(text: string, at: number): number {
  if (text[at - 1] === "\n") return at;
  const end = text.indexOf("\n", at);
  return end < 0 ? text.length : end + 1;
}

function without(data: unknown, steps: readonly PathStep[]): unknown {
  const [step, ...rest] = steps as [PathStep, ...PathStep[]];
  if (Array.isArray(data)) return data.map((entry, k) => (k === step ? without(entry, rest) : entry));
  const { [String(step)]: inner, ...others } = data as Record<string, unknown>;
  if (rest.length === 0) return others;
  return { ...(data as object), [step]: without(inner, rest) };
}

function fault(path: string, problem: string, hint: string): InputError {
  return new InputError([{ code: "splice.path", path, problem, hint }]);
}
