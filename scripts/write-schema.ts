/** Writes the JSON Schema of the job and arm files into schema/: `npx tsx scripts/write-schema.ts`. */
import { mkdirSync, writeFileSync } from "node:fs";
import { armSchema, jobSchema } from "../src/job/publish-schema.ts";

const folder = new URL("../schema/", import.meta.url);
mkdirSync(folder, { recursive: true });
for (const [name, schema] of [
  ["job", jobSchema()],
  ["arm", armSchema()],
] as const) {
  writeFileSync(new URL(`${name}.schema.json`, folder), `${JSON.stringify(schema, null, 2)}\n`);
}
