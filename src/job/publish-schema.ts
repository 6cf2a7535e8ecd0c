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
  const { $schema, ...rest } = schema;
  return { $schema, title, description, ...rest };
}
