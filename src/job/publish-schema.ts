/** The JSON Schema (2020-12) of the two kinds of file, for editors and other programs. */
import * as z from "zod";
import { type Fields, published } from "./field.ts";
import { armFields } from "./schema-arm.ts";
import { jobFields } from "./schema-job.ts";

export function jobSchema(): Record<string, unknown> {
  return publish(jobFields, "Withy job file", "A machine, its port, a target, and the arm that is to get there.");
}

export function armSchema(): Record<string, unknown> {
  return publish(armFields, "Withy arm file", "A slender cable-driven arm: sections from base to tip, and its tool.");
}

function publish(fieldsOf: (fields: Fields) => z.ZodType, title: string, description: string): Record<string, unknown> {
  const schema = z.toJSONSchema(fieldsOf(published), { io: "input", target: "draft-2020-12" }) as Record<string, unknown>;
  const { $schema, $defs: parts = {}, ...rest } = schema;
  const kinds: Record<string, unknown> = {};
  const shared = shareKinds(rest, kinds) as Record<string, unknown>;
  const sharedParts = shareKinds(parts, kinds) as Record<string, unknown>;
  return { $schema, title, description, ...shared, $defs: { ...sharedParts, ...kinds } };
}

/** Every quantity of one kind has the same pattern, units and example: written once, and referred to. */
function shareKinds(node: unknown, kinds: Record<string, unknown>): unknown {
  if (Array.isArray(node)) return node.map((entry) => shareKinds(entry, kinds));
  if (node === null || typeof node !== "object") return node;
  const { type, pattern, units, examples, ...own } = node as Record<string, unknown>;
  if (typeof own["quantity"] === "string" && pattern !== undefined) {
    kinds[own["quantity"]] = { type, pattern, units, examples };
    return { $ref: `#/$defs/${own["quantity"]}`, ...own };
  }
  return Object.fromEntries(Object.entries(node).map(([key, entry]) => [key, shareKinds(entry, kinds)]));
}
