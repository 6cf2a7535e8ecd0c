/** YAML text -> plain data with a way back to lines. Anchors, tags, duplicate keys and numbers that are not decimal are refused. */
import { isAlias, isMap, isPair, isScalar, isSeq, LineCounter, type Node, type Pair, parseDocument, visit, type YAMLError } from "yaml";
import type { Fault, FaultCode } from "../base/index.ts";

export type PathStep = string | number;

export interface YamlText {
  readonly file: string;
  readonly text: string;
  /** plain data: objects, arrays, strings, numbers, booleans, null */
  readonly data: unknown;
  readonly root: Node | null;
  readonly lines: LineCounter;
}

/** A file with more than this is no job. */
const greatestSize = 4_000_000;
/** In steps of the syntax tree: a key of a group counts two. */
const greatestDepth = 40;

/** @returns the text as data, or every fault of its syntax */
export function readYaml(file: string, bytes: Uint8Array): YamlText | readonly Fault[] {
  if (bytes.length > greatestSize) {
    return [
      {
        code: "file.size",
        path: "",
        file,
        received: `${bytes.length} bytes`,
        problem: `has ${bytes.length} bytes.`,
        hint: `A job or arm file has at most ${greatestSize}; keep meshes in files of their own.`,
      },
    ];
  }
  let text: string;
  try {
    text = new TextDecoder("utf-8", { fatal: true }).decode(bytes);
  } catch {
    return [
      { code: "file.text", path: "", file, problem: "is not text in UTF-8.", hint: "Save it as UTF-8 text, or name the right file." },
    ];
  }
  return readYamlText(file, text);
}

export function readYamlText(file: string, text: string): YamlText | readonly Fault[] {
  const lines = new LineCounter();
  const faults: Fault[] = [];
  const add = (code: FaultCode, offset: number, problem: string, hint: string): void => {
    const { line, col } = lines.linePos(offset);
    faults.push({ code, path: "", file, line: Math.max(1, line), column: Math.max(1, col), problem, hint });
  };
  try {
    const doc = parseDocument(text, { lineCounter: lines, prettyErrors: false, keepSourceTokens: true });
    for (const error of ownErrors([...doc.errors, ...doc.warnings])) {
      if (error.code === "DUPLICATE_KEY") {
        const key = /^[^:\n]*/.exec(text.slice(error.pos[0]))?.[0].trim() ?? "";
        add("yaml.duplicate-key", error.pos[0], `gives the key ${key} twice.`, "Keep one of them.");
      } else if (error.code === "RESOURCE_EXHAUSTION" || /call stack/i.test(error.message)) {
        throw new RangeError(error.message);
      } else if (error.code !== "TAG_RESOLVE_FAILED") {
        add("yaml.syntax", error.pos[0], `is no right YAML: ${error.message.replace(/;.*$/s, "")}.`, syntaxHint(error));
      }
    }
    visit(doc, {
      Node(_, node, path) {
        const at = node.range?.[0] ?? 0;
        if (path.length > greatestDepth) {
          add("yaml.depth", at, "is nested too deep.", `Nothing in a job lies that deep: look for a bracket too many.`);
          return visit.BREAK;
        }
        if (isAlias(node)) add("yaml.anchor", at, `repeats *${node.source}.`, "Anchors and aliases are not read: write the value out.");
        else if (node.anchor !== undefined)
          add("yaml.anchor", at, `is marked &${node.anchor}.`, "Anchors and aliases are not read: take the mark away.");
        if (node.tag !== undefined && !isAlias(node))
          add("yaml.tag", at, `carries the tag ${node.tag}.`, "Tags are not read: write the value alone.");
        if (
          isScalar(node) &&
          node.type === "PLAIN" &&
          typeof node.value === "number" &&
          !/^[+-]?[\d.]+([eE][+-]?\d+)?$/.test(node.source ?? "")
        ) {
          add("yaml.number", at, `is ${node.source}.`, "Write numbers in decimal digits; infinite and undefined numbers are refused.");
        }
        return undefined;
      },
    });
    if (faults.length > 0) return faults;
    if (doc.contents === null || !isMap(doc.contents)) {
      add("yaml.syntax", 0, text.trim() === "" ? "is empty." : "is no group of keys.", "Begin with withy: 1 and one key a line.");
      return faults;
    }
    return { file, text, data: doc.toJS({ maxAliasCount: 0 }), root: doc.contents, lines };
  } catch (error) {
    if (!(error instanceof RangeError)) throw error;
    return [
      {
        code: "yaml.depth",
        path: "",
        file,
        problem: "is nested too deep.",
        hint: `Nothing in a job lies that deep: look for a bracket too many.`,
      },
    ];
  }
}

export interface Place {
  readonly file: string;
  readonly line: number;
  readonly column: number;
}

/**
 * Where a path stands in the text: its value, or its key when `part` says so. A path that is not there gives its nearest parent.
 */
export function placeOf(yaml: YamlText, path: readonly PathStep[], part: "key" | "value" = "value"): Place {
  let node: unknown = yaml.root;
  let offset = yaml.root?.range?.[0] ?? 0;
  for (let k = 0; k < path.length; k++) {
    const found = childOf(node, path[k] as PathStep);
    if (found === undefined) break;
    const { pair, value } = found;
    const keyOffset = pair !== undefined && isScalar(pair.key) ? pair.key.range?.[0] : undefined;
    const last = k === path.length - 1;
    offset = (last && part === "key" ? (keyOffset ?? value?.range?.[0]) : (value?.range?.[0] ?? keyOffset)) ?? offset;
    // a group on lines of its own is found by its key
    if (keyOffset !== undefined && (isMap(value) || isSeq(value)) && !value.flow) offset = keyOffset;
    node = value;
  }
  const { line, col } = yaml.lines.linePos(offset);
  return { file: yaml.file, line: Math.max(1, line), column: Math.max(1, col) };
}

/** One step down a path. */
export function childOf(node: unknown, step: PathStep): { readonly pair?: Pair; readonly value: Node | null } | undefined {
  if (isMap(node)) {
    const pair = node.items.find((item) => isPair(item) && isScalar(item.key) && String(item.key.value) === String(step));
    return pair === undefined ? undefined : { pair: pair as Pair, value: pair.value as Node | null };
  }
  if (isSeq(node) && typeof step === "number" && step < node.items.length) return { value: node.items[step] as Node };
  return undefined;
}

/** `["sections", 2, "hinge"]` -> `sections[2].hinge` */
export function sayPath(path: readonly PathStep[]): string {
  let said = "";
  for (const step of path) said += typeof step === "number" ? `[${step}]` : said === "" ? step : `.${step}`;
  return said;
}

/** `sections[2].hinge` -> `["sections", 2, "hinge"]`; undefined when it is no path */
export function parsePath(said: string): PathStep[] | undefined {
  const steps: PathStep[] = [];
  const pattern = /(?:^|\.)([^.[\]]+)|\[(\d+)\]/y;
  while (pattern.lastIndex < said.length) {
    const found = pattern.exec(said);
    if (found === null) return undefined;
    steps.push(found[1] ?? Number(found[2]));
  }
  return steps;
}

/** An open bracket makes the lines after it look wrong too: what only follows from another fault is left out. */
function ownErrors(errors: readonly YAMLError[]): YAMLError[] {
  const open = errors.find((error) => /end with a [\]}]/.test(error.message));
  const follows = ["BLOCK_AS_IMPLICIT_KEY", "MULTILINE_IMPLICIT_KEY", "BLOCK_IN_FLOW"];
  return errors.filter((error) => open === undefined || error === open || error.pos[0] < open.pos[0] || !follows.includes(error.code));
}

function syntaxHint({ code, message }: YAMLError): string {
  const bracket = /end with a ([\]}])/.exec(message)?.[1];
  if (bracket !== undefined) return `Close the bracket that is open here or on the line before: ${bracket}.`;
  switch (code) {
    case "TAB_AS_INDENT":
      return "Indent with spaces.";
    case "BAD_INDENT":
      return "Line the keys of one group up under each other.";
    case "MULTIPLE_DOCS":
      return "Keep one document a file: take the line --- away.";
    case "MISSING_CHAR":
      return "Close the quote or bracket, or put the missing colon or comma.";
    case "BLOCK_AS_IMPLICIT_KEY":
    case "MULTILINE_IMPLICIT_KEY":
      return "Put each key on a line of its own, followed by a colon.";
    default:
      return "Mend the line: one key, a colon, a blank and its value.";
  }
}
