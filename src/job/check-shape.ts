/** Keys and kinds of a file against its schema: every unknown, missing and misplaced key at once, in words. */
import type * as z from "zod";
import type { Fault, FaultCode } from "../base/index.ts";
import { type QuantityKind, quantityKinds } from "../base/index.ts";
import { allowedKeysMark } from "./field.ts";
import { nearestWord } from "./nearest-word.ts";
import { type PathStep, placeOf, sayPath, type YamlText } from "./yaml-text.ts";

/** @returns the file as its schema reads it, or every fault of its shape */
export function checkShape<T>(schema: z.ZodType<T>, yaml: YamlText): { readonly value: T } | readonly Fault[] {
  const result = schema.safeParse(yaml.data);
  if (result.success) return { value: result.data };
  const faults: Fault[] = [];
  for (const issue of result.error.issues) addIssue(issue, [], yaml, faults);
  return faults;
}

type Issue = z.core.$ZodIssue;

function addIssue(issue: Issue, above: readonly PathStep[], yaml: YamlText, faults: Fault[]): void {
  const path = [...above, ...(issue.path as PathStep[])];
  const received = valueAt(yaml.data, path);
  const add = (code: FaultCode, problem: string, hint: string, at: readonly PathStep[] = path, part: "key" | "value" = "value"): void => {
    faults.push({ code, path: sayPath(at), problem, hint, received: sayValue(valueAt(yaml.data, at)), ...placeOf(yaml, at, part) });
  };
  if (issue.code === "unrecognized_keys") {
    const allowed = issue.message.startsWith(allowedKeysMark) ? issue.message.slice(allowedKeysMark.length).split(" ") : [];
    const there = received !== null && typeof received === "object" ? Object.keys(received) : [];
    const open = allowed.filter((key) => !there.includes(key));
    for (const key of issue.keys) {
      const near = nearestWord(key, open) ?? nearestWord(key, allowed);
      const hint = near === undefined ? `Keys here are: ${allowed.join(", ")}.` : `Write ${near}, or take it away.`;
      add("shape.unknown-key", "is not a key here.", hint, [...path, key], "key");
    }
    return;
  }
  if (issue.code === "invalid_union" && issue.errors.length > 0) {
    // a name or a group: the branch that is of the received kind tells more
    // and of several such groups the one that has most of the keys that stand there
    const [branch] = issue.errors
      .filter((issues) => !issues.some((inner) => inner.path.length === 0 && inner.code === "invalid_type"))
      .sort((a, b) => countStray(a as Issue[]) - countStray(b as Issue[]));
    if (branch !== undefined && received !== undefined) {
      for (const inner of branch) addIssue(inner as Issue, path, yaml, faults);
      return;
    }
  }
  if (received === undefined) {
    add("shape.missing-key", "is missing.", hintFor(issue), path, "key");
    return;
  }
  if (issue.code === "invalid_union" && "options" in issue && Array.isArray(issue.options)) {
    addChoice(sayChoice(received), issue.options.map(String), add);
  } else if (issue.code === "invalid_value") {
    addChoice(sayChoice(received), issue.values.map(String), add);
  } else if (issue.code === "too_small" || issue.code === "too_big") {
    const beyond = issue.inclusive === false;
    const bound =
      issue.code === "too_small"
        ? `${beyond ? "more than" : "at least"} ${issue.minimum}`
        : `${beyond ? "less than" : "at most"} ${issue.maximum}`;
    if (Array.isArray(received)) add("shape.count", `has ${received.length} entries.`, `Give ${bound}.`);
    else if (typeof received === "string") add("shape.kind", "is empty.", "Give some text.");
    else add("shape.count", `is ${sayValue(received)}.`, `Give ${bound}.`);
  } else {
    add("shape.kind", `is ${sayKind(received)}.`, hintFor(issue));
  }
}

function countStray(issues: readonly Issue[]): number {
  return issues.reduce((sum, issue) => sum + (issue.code === "unrecognized_keys" ? issue.keys.length : 0), 0);
}

/** A word as it stands; a group or a list where a word belongs, by its kind. */
function sayChoice(received: unknown): string {
  return received !== null && typeof received === "object" ? sayKind(received) : String(received);
}

function addChoice(received: string, choices: readonly string[], add: (code: FaultCode, problem: string, hint: string) => void): void {
  const near = nearestWord(received, choices);
  add("shape.choice", `is ${received}.`, `${near === undefined ? "" : `Did you mean ${near}? `}Give one of: ${choices.join(", ")}.`);
}

function hintFor(issue: Issue): string {
  if (issue.code === "custom" && issue.message.startsWith("quantity ")) {
    const { says, example } = quantityKinds[issue.message.slice("quantity ".length) as QuantityKind];
    return `Give ${says}, as ${example}.`;
  }
  if (issue.code === "invalid_value") return `Give ${issue.values.length > 1 ? "one of: " : ""}${issue.values.join(", ")}.`;
  if (issue.code === "invalid_union" && "options" in issue && Array.isArray(issue.options))
    return `Give one of: ${issue.options.join(", ")}.`;
  if (issue.code === "invalid_union") return "Give a name, or a group of keys.";
  if (issue.code === "invalid_type") {
    const kinds: Record<string, string> = {
      string: "Give text.",
      number: "Give a plain number.",
      int: "Give a whole number.",
      boolean: "Give true or false.",
      object: "Give a group of keys.",
      array: "Give a list.",
      tuple: "Give a list.",
    };
    return kinds[issue.expected] ?? `Give ${issue.expected}.`;
  }
  return "Mend it as the reference says.";
}

function valueAt(data: unknown, path: readonly PathStep[]): unknown {
  let value = data;
  for (const step of path) {
    if (value === null || typeof value !== "object" || !Object.hasOwn(value, step)) return undefined;
    value = (value as Record<PathStep, unknown>)[step];
  }
  return value;
}

function sayValue(value: unknown): string {
  if (value === undefined) return "nothing";
  const text = typeof value === "string" ? value : JSON.stringify(value);
  return text.length > 80 ? `${text.slice(0, 77)}...` : text;
}

function sayKind(value: unknown): string {
  if (value === null) return "empty";
  if (Array.isArray(value)) return "a list";
  if (typeof value === "object") return "a group of keys";
  return typeof value === "string" ? `the text ${JSON.stringify(value)}` : String(value);
}
